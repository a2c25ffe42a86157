// Numbers in the window: the shoe padded, the shank thinned, load and constants, and all of it undone.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "desk_state.h"

using namespace aplomb;
using namespace aplomb::test;
using nlohmann::json;

TEST_CASE("what was out of sight is scrolled to, padded, thinned, loaded, and taken back", "[.][long][window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "full-pointe-two"}));
  REQUIRE(desk.wait(answered));
  const double before = depth(desk.state());
  const std::string thickness = "shoe.padding.toe_tips.thickness_mm";
  REQUIRE(desk.scroll_to("shoe.ball_breadth_mm", thickness));
  desk.drag(thickness, 0.03, 0.5, 60, 0);
  REQUIRE(desk.wait([&](const json& s) { return answered(s) && selected(s, thickness); }));
  CHECK(desk.item(thickness)["value"].get<double>() > 1);
  CHECK(depth(desk.state()) < before - 0.1);  // she stands on what is left of the pad: see test_changes.cpp
  CHECK(desk.item("title")["text"] == "sample  in  tapered (1 changed)");
  CHECK_FALSE(desk.item("shoe.padding.toe_tips.modulus_MPa").is_null());
  desk.keep("window_padded");
  desk.click(thickness + ".put_back");
  REQUIRE(desk.wait([&](const json& s) { return answered(s) && !selected(s, thickness); }));
  CHECK(depth(desk.state()) == before);

  // The shank: a table in place of the number, thinned at the heel.
  REQUIRE(desk.scroll_to(thickness, "shoe.shank_table.make", -1));
  desk.click("shoe.shank_table.make");
  REQUIRE(desk.wait([](const json& s) { return find(s, "shoe.shank_stiffness.4.EI_Nm2") != nullptr; }));
  CHECK(desk.item("shoe.shank_EI_Nm2").value("enabled", true) == false);
  REQUIRE(desk.scroll_to("shoe.shank_stiffness.1.EI_Nm2", "shoe.shank_table.skive"));
  desk.click("shoe.shank_table.skive");
  CHECK(desk.wait([](const json& s) {
    const json *heel = find(s, "shoe.shank_stiffness.1.EI_Nm2"), *front = find(s, "shoe.shank_stiffness.4.EI_Nm2");
    return heel != nullptr && std::abs((*heel)["value"].get<double>() / (*front)["value"].get<double>() - 0.512) < 1e-9;
  }));
  desk.keep("window_shank");

  // Load and a constant, in inches; and all of it undone.
  desk.click("tab.foot");
  REQUIRE(desk.wait([](const json& s) { return find(s, "foot.load_N") != nullptr; }));
  const double load_N = desk.item("foot.load_N")["value"];
  desk.drag("foot.load_N", 0.5, 0.5, 20, 0);
  REQUIRE(desk.wait([](const json& s) { return answered(s) && selected(s, "foot.load_N"); }));
  CHECK(desk.item("foot.load_N")["value"].get<double>() != load_N);
  desk.key("i");
  CHECK(desk.wait(
      [](const json& s) { return selected(s, "look.inches") && (*find(s, "foot.foot_length_mm"))["unit"] == "in"; }));
  desk.keep("window_inches");
  desk.click("tab.constants");
  REQUIRE(desk.wait([](const json& s) { return find(s, "constant.tone_factor") != nullptr; }));
  desk.drag("constant.tone_factor", 0.25, 0.5, -20, 0);
  REQUIRE(desk.wait([](const json& s) { return answered(s) && selected(s, "constant.tone_factor"); }));
  CHECK(desk.item("title")["text"].get<std::string>().ends_with("[1 constant changed]"));
  desk.keep("window_constants");
  for (int i = 0; i < 4; ++i) desk.key("ctrl+z");
  REQUIRE(desk.wait([](const json& s) { return answered(s) && !selected(s, "constant.tone_factor"); }));
  CHECK(desk.item("title")["text"] == "sample  in  tapered");
  CHECK(depth(desk.state()) == before);
  CHECK(desk.quit() == 0);
}
