// The window as a person uses it: on a display of its own, mouse and keys. What is asserted is what is on the screen.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <fstream>

#include "desk_state.h"

using namespace aplomb;
using namespace aplomb::test;
using nlohmann::json;

TEST_CASE("a fitting in the window, a crash in the middle of it, and what was left is brought back", "[window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "full-pointe-two"}));
  REQUIRE(desk.wait(answered));
  const json sample = desk.state();
  CHECK(sample["seats"][0]["shown"] == true);
  desk.keep("window_sample");
  const json view = desk.item("view.0");
  const int vx = view["rect"][0], vy = view["rect"][1], vw = view["rect"][2], vh = view["rect"][3];

  // The hand turns the foot.
  const test::Pixels before = desk.pixels();
  desk.drag("view.0", 0.2, 0.5, 120, 0);
  REQUIRE(desk.wait([&](const json& s) { return s["view"]["turn_deg"] != sample["view"]["turn_deg"]; }));
  CHECK(desk.pixels().differing(before, vx, vy, vw, vh) > 5000);

  // A broader ball lets her stand deeper; while dragging the answer is quick, then full.
  desk.press_and_move("shoe.ball_breadth_mm", 0.5, 0.5, 25, 0);
  CHECK(desk.wait([](const json& s) { return s["dragging"] == true; }));
  CHECK(desk.wait([](const json& s) { return s["seats"][0]["current"] == true && s["seats"][0]["care"] == "quick"; }));
  desk.let_go();
  REQUIRE(desk.wait(answered));
  CHECK(desk.item("shoe.ball_breadth_mm")["value"].get<double>() > 85);
  CHECK(depth(desk.state()) > depth(sample) + 0.2);
  desk.keep("window_broader");
  desk.key("ctrl+z");
  // The answer of before stays up until the hand's key is taken.
  REQUIRE(desk.wait([](const json& s) { return answered(s) && value(s, "shoe.ball_breadth_mm") == 84; }));
  CHECK(depth(desk.state()) == depth(sample));

  // Picking says what is there.
  desk.click_at(vx + vw / 2, vy + vh / 2);
  REQUIRE(desk.wait([](const json& s) { return has(s, "picked.region"); }));
  CHECK(desk.item("picked.bone")["text"].get<std::string>().starts_with("over: "));
  desk.key("Escape");

  // A slice with a ruler.
  desk.click("look.slice");
  REQUIRE(desk.wait([](const json& s) { return has(s, "slice.sheet"); }));
  desk.drag("slice.sheet", 0.2, 0.5, 100, 0);
  REQUIRE(desk.wait([](const json& s) { return has(s, "slice.ruler"); }));
  CHECK(desk.item("slice.ruler")["value"].get<double>() > 5);
  desk.keep("window_slice");

  // On to another position.
  desk.click("position.on-box");
  REQUIRE(desk.wait(
      [](const json& s) { return answered(s) && s["position"] == "on-box" && has(s, "finding.heel_slack_mm"); }));
  CHECK(desk.item("finding.heel_slack_mm")["text"].get<std::string>().ends_with(" mm"));

  // Saved under a name that is typed; changed elsewhere, it is not written over unasked.
  desk.key("ctrl+s");
  REQUIRE(desk.wait([](const json& s) { return has(s, "files.name"); }));
  desk.key("ctrl+a");
  desk.type("fitting.json");
  desk.key("Return");
  REQUIRE(desk.wait([](const json& s) { return says(s, "Saved: "); }));
  REQUIRE(std::filesystem::is_regular_file(desk.folder() / "fitting.json"));
  CHECK(desk.state()["unsaved"] == false);
  std::ofstream(desk.folder() / "fitting.json", std::ios::app) << "\n";
  desk.key("ctrl+s");
  CHECK(desk.wait([](const json& s) { return says(s, "changed by another window"); }));

  // The power goes off after a change that was not saved.
  desk.drag("shoe.crown_height_mm", 0.5, 0.5, 20, 0);
  REQUIRE(desk.wait(answered));
  const double crown_mm = desk.item("shoe.crown_height_mm")["value"];
  CHECK(crown_mm > 40.5);
  const auto kept = [&](const json&) {
    for (const auto& entry : std::filesystem::directory_iterator(desk.folder() / "state/aplomb")) {
      std::ifstream in(entry.path());
      const json session = json::parse(in, nullptr, false);
      if (session.is_object() && session.contains("seats") &&
          session["seats"][0]["shoe"]["changes"].contains("crown_height_mm"))
        return true;
    }
    return false;
  };
  REQUIRE(desk.wait(kept));
  desk.kill();
  std::ofstream(desk.folder() / "broken.toml") << "format = \"aplomb-card\"\nformat_version = 1\nside = \"middle\"\n";
  REQUIRE(desk.start({"--drop", "broken.toml"}));
  REQUIRE(desk.wait([](const json& s) { return has(s, "recover"); }));
  CHECK(desk.wait([](const json& s) { return says(s, "broken.toml:3: side:"); }));
  desk.keep("window_recovery");
  desk.click("recover");
  REQUIRE(desk.wait([](const json& s) { return answered(s) && s["position"] == "on-box"; }));
  CHECK(desk.item("shoe.crown_height_mm")["value"].get<double>() == crown_mm);
  CHECK(desk.state()["session"].get<std::string>().ends_with("fitting.json"));
  desk.keep("window_recovered");
  // It is not saved yet: leaving asks, and Esc stays.
  desk.key("ctrl+q");
  REQUIRE(desk.wait([](const json& s) { return has(s, "leaving.words"); }));
  desk.keep("window_leaving");
  desk.key("Escape");
  REQUIRE(desk.wait([](const json& s) { return !has(s, "leaving.words"); }));
  CHECK(desk.item("shoe.crown_height_mm")["value"].get<double>() == crown_mm);
  desk.key("ctrl+q");
  REQUIRE(desk.wait([](const json& s) { return has(s, "leaving.unsaved"); }));
  desk.click("leaving.unsaved");
  CHECK(desk.ended(20) == 0);
  // A clean end leaves nothing to bring back.
  for (const auto& entry : std::filesystem::directory_iterator(desk.folder() / "state/aplomb"))
    CHECK(entry.path().filename().string().find("autosave") == std::string::npos);
}

TEST_CASE("a window that is interrupted asks nothing, and what was not saved is offered next time", "[window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "on-box"}));
  REQUIRE(desk.wait(answered));
  desk.drag("shoe.crown_height_mm", 0.5, 0.5, 20, 0);
  REQUIRE(desk.wait([](const json& s) { return answered(s) && s["unsaved"] == true; }));
  const double crown_mm = desk.item("shoe.crown_height_mm")["value"];
  desk.interrupt();
  CHECK(desk.ended(20) == 130);
  CHECK(desk.said().find("offered at the next start") != std::string::npos);
  REQUIRE(desk.start({"--position", "on-box"}));
  // Where the offer stands is not said before the first answer is there: it comes in between and moves things.
  REQUIRE(desk.wait([](const json& s) { return answered(s) && has(s, "recover"); }));
  desk.click("recover");
  CHECK(desk.wait([&](const json& s) { return answered(s) && value(s, "shoe.crown_height_mm") == crown_mm; }));
  CHECK(desk.quit() == 0);
}

TEST_CASE("what the window cannot have is said in one line, or on the screen", "[window]") {
  test::Desk desk(320, 240);
  if (skipped(desk)) return;
  // A window of 320 x 240, a state folder that cannot be written, no font: it says so and goes on.
  desk.set("XDG_STATE_HOME", "/proc/none");
  desk.set("APLOMB_FONTS", desk.folder().string());
  REQUIRE(desk.start({"--size", "320x240", "--position", "on-box"}));
  REQUIRE(desk.wait(answered));
  CHECK(desk.wait([](const json& s) { return says(s, "font Inter was not found"); }));
  desk.key("x");  // the box cut away: something to be kept
  CHECK(desk.wait([](const json& s) { return says(s, "lost in a crash"); }));
  desk.keep("window_small");
  // Everything can still be had, a sheet at a time.
  desk.key("Escape");
  desk.key("Escape");
  desk.click("sheet.numbers");
  CHECK(desk.wait([](const json& s) { return has(s, "shoe.ball_breadth_mm"); }));
  desk.keep("window_small_numbers");
  desk.click("sheet.findings");
  CHECK(desk.wait([](const json& s) { return has(s, "finding.depth_mm") && !has(s, "shoe.ball_breadth_mm"); }));
  desk.click("sheet.look");
  CHECK(desk.wait([](const json& s) { return has(s, "position.on-box") && has(s, "look.slice"); }));
  desk.keep("window_small_look");
  CHECK(desk.quit() == 0);
}
