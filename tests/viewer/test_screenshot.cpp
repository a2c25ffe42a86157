// Pictures of the screens, made without a display: what they show is read from --ui-state and from pixels.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>

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
  CHECK(place.names().empty());
}
