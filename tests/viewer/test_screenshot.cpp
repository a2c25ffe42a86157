// Pictures of the screens, made without a display: what they show is read from --ui-state and from pixels.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "../app/program.h"

using namespace aplomb;
using nlohmann::json;

namespace {

std::string shot(const std::string& name) {
  std::filesystem::create_directories(APLOMB_SHOTS);
  return std::string(APLOMB_SHOTS) + "/" + name + ".png";
}

const json* item(const json& state, const std::string& id) {
  for (const json& one : state.at("items"))
    if (one.at("id") == id) return &one;
  return nullptr;
}

}  // namespace

TEST_CASE("the sample's screen without a display", "[view]") {
  const test::Workplace place;
  const test::Outcome outcome =
      place.run({"view", "--screenshot", shot("sample"), "--position", "on-box", "--ui-state", "state.json"});
  CHECK(outcome.err == "");
  REQUIRE(outcome.exit_code == 0);
  const json state = json::parse(place.read("state.json"));
  CHECK(state["size"] == json({1280, 800}));
  CHECK(state["position"] == "on-box");
  CHECK(state["seats"][0]["converged"] == true);
  CHECK(item(state, "side")->at("text") == "RIGHT");
  REQUIRE(item(state, "caution") != nullptr);
  CHECK(item(state, "caution")->at("text").get<std::string>().find("never a clearance to dance") != std::string::npos);
  REQUIRE(item(state, "shoe.ball_breadth_mm") != nullptr);
  CHECK(item(state, "shoe.ball_breadth_mm")->at("value") == 84.0);
  CHECK(item(state, "shoe.ball_breadth_mm")->at("unit") == "mm");
  CHECK(place.names() == std::vector<std::string>{"state.json"});
}

TEST_CASE("a broken drop is told on the screen and changes nothing", "[view]") {
  const test::Workplace place;
  place.write("broken.toml",
              "format = \"aplomb-shoe\"\nformat_version = 1\nname = \"x\"\ncrown_height_mm = \"high\"\n");
  const test::Outcome outcome = place.run({"view", "--screenshot", shot("broken_drop"), "--position", "on-box",
                                           "--drop", "broken.toml", "--size", "900x600", "--ui-state", "state.json"});
  REQUIRE(outcome.exit_code == 0);
  const json state = json::parse(place.read("state.json"));
  const std::string message = item(state, "message")->at("text");
  CHECK(message.find("broken.toml") != std::string::npos);
  CHECK(message.find("crown_height_mm") != std::string::npos);
  CHECK(item(state, "title")->at("text") == "sample  in  tapered");
}

TEST_CASE("a broken scan is told on the screen and changes nothing", "[view]") {
  const test::Workplace place;
  place.write("broken.ply", "ply\nformat ascii 1.0\nelement vertex 5000\n");
  const test::Outcome outcome = place.run({"view", "--screenshot", shot("broken_scan"), "--position", "on-box",
                                           "--drop", "broken.ply", "--ui-state", "state.json"});
  REQUIRE(outcome.exit_code == 0);
  const json state = json::parse(place.read("state.json"));
  CHECK(item(state, "message")->at("text").get<std::string>().find("broken.ply") != std::string::npos);
  CHECK(item(state, "title")->at("text") == "sample  in  tapered");
  // Named on the command line it is refused there.
  const test::Outcome named = place.run({"view", "broken.ply", "--screenshot", "a.png"});
  CHECK(named.exit_code == 2);
  CHECK(named.error_lines() == 1);
}

TEST_CASE("what cannot be shown is refused in one line", "[view]") {
  const test::Workplace place;
  const auto refused = [&](std::vector<std::string> arguments, int exit_code) {
    arguments.insert(arguments.begin(), "view");
    const test::Outcome outcome = place.run(arguments);
    CHECK(outcome.exit_code == exit_code);
    CHECK(outcome.error_lines() == 1);
    return outcome.err;
  };
  CHECK(refused({"--screenshot", "a.png", "--size", "10x10"}, 2).find("--size") != std::string::npos);
  CHECK(refused({"--screenshot", "a.png", "--session", "gone.json"}, 2).find("gone.json") != std::string::npos);
  CHECK(refused({"--screenshot", "a.png", "--position", "standing on one's head"}, 2).find("position") !=
        std::string::npos);
  CHECK(refused({"--screenshot", "no/such/folder/a.png"}, 5).find("no/such/folder") != std::string::npos);
  // No display: a window cannot be had, a picture could.
  ::unsetenv("DISPLAY");
  CHECK(refused({}, 5).find("--screenshot") != std::string::npos);
  CHECK(place.names().empty());
}

TEST_CASE("missing shaders are named, a missing font is told on the screen", "[view]") {
  const test::Workplace place;
  const auto link = [&](const char* name) {
    std::filesystem::create_directory_symlink(test::source(std::string("meshes/") + name),
                                              place.path() / "data" / name);
  };
  std::filesystem::create_directories(place.path() / "data");
  for (const char* name : {"foot", "feet", "shoes"}) link(name);
  const test::Outcome without = place.run({"view", "--data", "data", "--screenshot", "a.png", "--position", "on-box"});
  CHECK(without.exit_code == 2);
  CHECK(without.error_lines() == 1);
  CHECK(without.err.find("surface.vert") != std::string::npos);
  ::setenv("APLOMB_FONTS", place.path().c_str(), 1);
  const test::Outcome plain =
      place.run({"view", "--screenshot", shot("no_font"), "--position", "on-box", "--ui-state", "state.json"});
  ::unsetenv("APLOMB_FONTS");
  REQUIRE(plain.exit_code == 0);
  CHECK(item(json::parse(place.read("state.json")), "message")->at("text").get<std::string>().find("fonts-inter") !=
        std::string::npos);
}

TEST_CASE("a session whose files are gone shows its own copies and says so", "[view]") {
  const test::Workplace place;
  const auto text = [](const std::string& below) {
    std::ifstream in(test::source(below));
    std::ostringstream all;
    all << in.rdbuf();
    return all.str();
  };
  json session =
      json::parse(R"({"format": "aplomb-session", "format_version": 1, "position": "on-box", "side_by_side": false,
    "seats": [{"foot": {"file": "gone/her left foot.toml", "changes": {}}, "shoe": {"file": "gone/shoe.toml", "changes": {"crown_height_mm": 41.0}}}],
    "look": {"turn_deg": 90, "rise_deg": 0, "target_mm": [0, 0, 90], "mm_per_px": 0.5, "skin": "gap", "box": "cut-away", "bones": true,
      "upper": false, "sole": true, "marks": true, "slice": "along", "slice_mm": 3.5, "lines": true, "inches": false, "client": false,
      "band": false, "step": 0, "font_scale": 1.0}})");
  std::string card = text("meshes/feet/sample.toml");
  card.replace(card.find("\"right\""), 7, "\"left\"");
  session["seats"][0]["foot"]["text"] = card;
  session["seats"][0]["shoe"]["text"] = text("meshes/shoes/tapered.toml");
  place.write("session.json", session.dump());
  const test::Outcome outcome = place.run(
      {"view", "--session", "session.json", "--screenshot", shot("left_session"), "--ui-state", "state.json"});
  CHECK(outcome.err == "");
  REQUIRE(outcome.exit_code == 0);
  const json state = json::parse(place.read("state.json"));
  CHECK(item(state, "side")->at("text") == "LEFT");
  CHECK(item(state, "message")->at("text").get<std::string>().find("is gone since") != std::string::npos);
  CHECK(item(state, "shoe.crown_height_mm")->at("value") == 41.0);
  CHECK(item(state, "shoe.crown_height_mm")->at("selected") == true);
  CHECK(item(state, "slice.at")->at("value") == 3.5);
  CHECK(item(state, "slice.legend")->at("text") == "foot, box, sole, upper");
  CHECK(state["view"]["turn_deg"] == 90);
  CHECK(state["seats"][0]["converged"] == true);
}

TEST_CASE("the sample's bands stand on the screen, apart from the friction range", "[.][long][view]") {
  const test::Workplace place;
  const auto text = [](const std::string& below) {
    std::ifstream in(test::source(below));
    std::ostringstream all;
    all << in.rdbuf();
    return all.str();
  };
  json session = json::parse(
      R"({"format": "aplomb-session", "format_version": 2, "position": "full-pointe-two", "side_by_side": false,
    "seats": [{"foot": {"file": "sample.toml", "changes": {}}, "shoe": {"file": "tapered.toml", "changes": {}}}],
    "look": {"turn_deg": 90, "rise_deg": 0, "target_mm": [0, 0, 90], "mm_per_px": 0.5, "skin": "pressure", "box": "see-through", "bones": false,
      "upper": true, "sole": true, "marks": true, "slice": "none", "slice_mm": 40, "lines": true, "inches": false, "client": false,
      "band": true, "doubts": true, "step": 0, "font_scale": 1.0}})");
  session["seats"][0]["foot"]["text"] = text("meshes/feet/sample.toml");
  session["seats"][0]["shoe"]["text"] = text("meshes/shoes/tapered.toml");
  place.write("session.json", session.dump());
  const test::Outcome outcome = place.run({"view", "--session", "session.json", "--screenshot", shot("how_sure"),
                                           "--size", "1280x1400", "--ui-state", "state.json"});
  REQUIRE(outcome.exit_code == 0);
  const json state = json::parse(place.read("state.json"));
  CHECK(item(state, "doubts")->at("selected") == true);
  CHECK(item(state, "doubts")->at("text") == "How sure (5 to 95 %)");
  CHECK(item(state, "band")->at("text") == "Friction range");
  CHECK_FALSE(state.contains("doubts"));  // nothing is on its way any more
  const json* depth = item(state, "doubt.depth_mm");
  REQUIRE(depth != nullptr);
  CHECK(depth->at("unit") == "mm");
  CHECK(depth->at("low").get<double>() < depth->at("high").get<double>());
  CHECK(depth->at("text").get<std::string>().rfind("5 to 95 %", 0) == 0);
  const json* friction = item(state, "band.load_share.platform");
  REQUIRE(friction != nullptr);
  CHECK(friction->at("text").get<std::string>().rfind("friction ", 0) == 0);
  REQUIRE(item(state, "doubts.line.1") != nullptr);
}
