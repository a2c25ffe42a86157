// Files and the window: a scan dropped, two windows on one session, what the program cannot do without.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>

#include "aplomb/foot/template.h"
#include "desk_state.h"

using namespace aplomb;
using namespace aplomb::test;
using nlohmann::json;

TEST_CASE("a scan dropped on the window is fitted, asked about, and stands once her mass is said", "[window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  // The template's skin as points, 12.5 long: 125 mm in cm, 318 mm in inches.
  const auto mean = foot::load_template(std::filesystem::path(APLOMB_SOURCE_DIR) / "meshes/foot");
  REQUIRE(mean);
  double low = 1e9, high = -1e9;
  for (const auto& p : mean->skin.vertices_F) low = std::min(low, p.x()), high = std::max(high, p.x());
  {
    std::ofstream out(desk.folder() / "her_foot.xyz");
    const double scale = 12.5 / (high - low);
    for (const auto& p : mean->skin.vertices_F)
      out << scale * p.x() << ' ' << scale * p.y() << ' ' << scale * p.z() << '\n';
  }
  REQUIRE(desk.start({"--position", "on-box", "--drop", "her_foot.xyz"}));
  CHECK(desk.wait([](const json& s) { return find(s, "scan.progress") != nullptr; }));
  REQUIRE(desk.wait([](const json& s) { return find(s, "scan.unit.inch") != nullptr; }));
  INFO(desk.state()["messages"].dump());
  CHECK(says(desk.state(), "mm long in cm, 31"));
  (void)desk.wait([](const json&) { return false; }, 0.3);  // a card is measured for a frame before it is seen
  desk.keep("window_scan_asks");
  desk.click("scan.unit.cm");
  REQUIRE(desk.wait([](const json& s) {
    const json* length = find(s, "foot.foot_length_mm");
    return find(s, "foot.mass") != nullptr && length != nullptr && std::abs((*length)["value"].get<double>() - 125) < 2;
  }));
  CHECK(desk.item("title")["text"] == "her_foot  in  tapered");
  desk.keep("window_scan_mass");
  desk.drag("foot.mass", 0.31, 0.5, 20, 0);
  CHECK(desk.wait([](const json& s) { return answered(s) && selected(s, "foot.mass"); }));
  desk.keep("window_scan_stands");
  CHECK(desk.quit() == 0);
}

TEST_CASE("two windows on one session file do not undo each other's work", "[window]") {
  test::Desk one(1000, 700), two(1000, 700);
  if (skipped(one) || skipped(two)) return;
  const std::string file = (one.folder() / "fitting.json").string();
  REQUIRE(one.start({"--size", "1000x700", "--position", "on-box"}));
  REQUIRE(one.wait(answered));
  one.key("ctrl+s");
  REQUIRE(one.wait([](const json& s) { return find(s, "files.name") != nullptr; }));
  one.key("ctrl+a");
  one.type("fitting.json");
  one.key("Return");
  REQUIRE(one.wait([](const json& s) { return says(s, "Saved: "); }));
  REQUIRE(two.start({"--size", "1000x700", "--session", file}));
  REQUIRE(two.wait(answered));
  one.drag("shoe.crown_height_mm", 0.5, 0.5, 20, 0);
  REQUIRE(one.wait([](const json& s) { return answered(s) && s["unsaved"] == true; }));
  one.key("ctrl+s");
  REQUIRE(one.wait([](const json& s) { return s["unsaved"] == false; }));
  two.drag("shoe.ball_breadth_mm", 0.5, 0.5, 20, 0);
  REQUIRE(two.wait([](const json& s) { return answered(s) && s["unsaved"] == true; }));
  two.key("ctrl+s");
  REQUIRE(two.wait([](const json& s) { return says(s, "changed by another window"); }));
  two.keep("window_two");
  std::ifstream in(file);
  const json kept = json::parse(in, nullptr, false);
  REQUIRE(kept.is_object());
  CHECK(kept["seats"][0]["shoe"]["changes"].contains("crown_height_mm"));
  CHECK_FALSE(kept["seats"][0]["shoe"]["changes"].contains("ball_breadth_mm"));
  two.kill();
  CHECK(one.quit() == 0);
}

TEST_CASE("a display without OpenGL 3.3 and a program without shaders end in one line", "[window]") {
  test::Desk desk(640, 480);
  if (skipped(desk)) return;
  const auto ends = [&](const std::vector<std::string>& arguments, int exit_code, const std::string& words) {
    desk.launch(arguments);
    CHECK(desk.ended(30) == exit_code);
    const std::string said = desk.said();
    CHECK(said.find(words) != std::string::npos);
    CHECK(std::count(said.begin(), said.end(), '\n') == 1);
  };
  std::filesystem::create_directories(desk.folder() / "data");
  for (const char* name : {"foot", "feet", "shoes"})
    std::filesystem::create_directory_symlink(std::filesystem::path(APLOMB_SOURCE_DIR) / "meshes" / name,
                                              desk.folder() / "data" / name);
  ends({"--data", (desk.folder() / "data").string()}, 2, "surface.vert");
  desk.set("MESA_GL_VERSION_OVERRIDE", "2.1");
  ends({}, 5, "--screenshot");
}
