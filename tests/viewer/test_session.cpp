// A session file brings everything back, and says what is wrong with it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "../temporary_folder.h"
#include "viewer/session.h"

using namespace aplomb;
using namespace aplomb::viewer;

namespace {

Document sample() {
  Document document;
  Subject& subject = document.subject;
  subject.seat[0].foot = {
      "feet/a card.toml", "format = \"aplomb-card\"\n", {{"foot_breadth_mm", 90.1}}, {"foot_breadth_mm"}};
  subject.seat[0].shoe = {"shoe.toml", "format = \"aplomb-shoe\"\n", {{"crown_height_mm", 41.5}, {"plan_taper", 0.3}}};
  subject.seat[0].shoe.words = {{"cut", "left"}, {"throat", "v"}};
  subject.seat[0].load_N = 312.5;
  subject.seat[0].constants = {{"tone_factor", 0.5}, {"ray_flexion_Nm.3", 91}};
  subject.seat[1] = subject.seat[0];
  subject.seat[1].shoe.changes.clear();
  subject.side_by_side = true;
  subject.position = stance::Position::demi_plie;
  Look& look = document.look;
  look.orbit = {123.25, -45.5, {1.5, -2.25, 80}, 0.375};
  look.skin = SkinLook::crowding;
  look.box = BoxLook::cut_away;
  look.slice = SliceAxis::along;
  look.slice_mm = -7.5, look.slice_tilt_deg = 12;
  look.advice = true;
  look.doubts = true;
  look.bones = true;
  look.upper = false;
  look.inches = true;
  look.step = 3;
  look.font_scale = 1.25;
  look.sole = false;
  look.marks = false;
  look.lines = false;
  look.client = true;
  look.band = true;
  subject.trying = "a lower crown";
  subject.visit = Source{"visit.toml", "format = \"aplomb-visit\"\n"};
  document.shelf = KeptShelf{"/a shop/stock.csv", {"T-240-87", "P-240-90"}, true};
  document.pair = KeptPair{{subject.seat[0].shoe, subject.seat[1].shoe}, {subject.seat[1].shoe, {}}, 4, "abc"};
  return document;
}

}  // namespace

TEST_CASE("a session reads back as it was written", "[session]") {
  const scratch::Folder folder;
  const Document written = sample();
  REQUIRE(write_session(written, folder.path / "s.json"));
  const auto read = read_session(folder.path / "s.json");
  REQUIRE(read);
  CHECK(read->subject == written.subject);
  CHECK(read->shelf == written.shelf);
  CHECK(read->pair == written.pair);
  CHECK(read->look == written.look);
  CHECK(folder.files() == 1);
}

TEST_CASE("a step on the way comes back with a session, and in old ones 0 was none", "[session]") {
  const auto step_of = [](const io::Json& json) { return parse_session(json.dump(), "s.json").value().look.step; };
  Document document = sample();
  for (const std::optional<int> step : {std::optional<int>{}, std::optional<int>{0}, std::optional<int>{3}}) {
    document.look.step = step;
    CHECK(step_of(session_json(document)) == step);
  }
  io::Json old = session_json(document);
  old["look"].erase("way_step");
  old["look"]["step"] = 0;
  CHECK_FALSE(step_of(old));
  old["look"]["step"] = 5;
  CHECK(step_of(old) == 5);
  old["look"]["step"] = -1;
  CHECK_FALSE(parse_session(old.dump(), "s.json"));
}

TEST_CASE("the look that is written differs in everything from the one that every session begins with", "[session]") {
  const Look look = sample().look, usual;
  const io::Json written = session_json(sample())["look"], begun = session_json(Document())["look"];
  for (const auto& [key, value] : written.items()) {
    INFO(key);
    CHECK(value != begun.at(key));
  }
  CHECK(look.step != usual.step);
}

TEST_CASE("a session from before tries were kept has none", "[session]") {
  io::Json json = session_json(sample());
  json.erase("trying");
  CHECK(parse_session(io::to_text(json), "old.json").value().subject.trying.empty());
}

TEST_CASE("a session without a shelf has none", "[session]") {
  io::Json json = session_json(sample());
  json.erase("shelf"), json.erase("pair");
  const auto read = parse_session(io::to_text(json), "old.json");
  REQUIRE(read);
  CHECK_FALSE(read->shelf);
  CHECK_FALSE(read->pair);
}

TEST_CASE("a session that is none, is newer or lacks something is refused with its name", "[session]") {
  const auto refused = [](const std::string& text) {
    const auto read = parse_session(text, "some.json");
    REQUIRE_FALSE(read);
    CHECK(read.error().file == "some.json");
    CHECK_FALSE(read.error().message.empty());
    return io::to_line(read.error());
  };
  refused("{");
  refused("[]");
  refused(R"({"format": "aplomb-shoe", "format_version": 1})");
  refused(R"({"format": "aplomb-session", "format_version": 3})");
  io::Json json = session_json(sample());
  for (const char* key : {"seats", "position", "look", "side_by_side"}) {
    io::Json less = json;
    less.erase(key);
    refused(io::to_text(less));
  }
  json["seats"][0]["constants"]["tone_factor"] = "strong";
  refused(io::to_text(json));
  json = session_json(sample());
  json["look"]["rise_deg"] = 400;
  refused(io::to_text(json));
  json["look"]["rise_deg"] = "high";
  refused(io::to_text(json));
  json = session_json(sample());
  json["shelf"]["first"] = 3;
  refused(io::to_text(json));
  json = session_json(sample());
  json["pair"]["seats"].erase(1);
  refused(io::to_text(json));
  json = session_json(sample());
  json["position"] = "on-her-head";
  refused(io::to_text(json));
}
