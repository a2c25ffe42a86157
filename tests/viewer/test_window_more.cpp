// More of what people do in the window: the shoe padded and the shank thinned, positions played, two shoes side by
// side, pictures and pages written, everything reached by keys, two windows on one session.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <iostream>
#include <set>

#include "aplomb/foot/template.h"
#include "desk.h"

using namespace aplomb;
using nlohmann::json;

namespace {

bool answered(const json& s) {
  if (!s.contains("seats") || s["dragging"] == true) return false;
  for (const json& seat : s["seats"])
    if (!seat.value("current", false) || seat.value("care", "") != "full") return false;
  return true;
}

const json* find(const json& s, const std::string& id) {
  if (s.contains("items"))
    for (const json& one : s["items"])
      if (one["id"] == id) return &one;
  return nullptr;
}

bool selected(const json& s, const std::string& id) {
  const json* one = find(s, id);
  return one != nullptr && one->value("selected", false);
}

bool says(const json& s, const std::string& words) {
  for (const json& message : s["messages"])
    if (message.get<std::string>().find(words) != std::string::npos) return true;
  return false;
}

double depth(const json& s, std::size_t seat = 0) { return s["seats"][seat]["depth_mm"].get<double>(); }

std::string first_bytes(const std::filesystem::path& file, std::size_t count) {
  std::ifstream in(file, std::ios::binary);
  std::string bytes(count, '\0');
  in.read(bytes.data(), static_cast<std::streamsize>(count));
  return bytes;
}

bool skipped(const test::Desk& desk) {
  if (!desk.ready()) std::cout << "skipped: Xvfb or xdotool is not installed\n";
  return !desk.ready();
}

}  // namespace

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

TEST_CASE("positions are played, two shoes compared, picture and page written", "[window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "parallel"}));
  REQUIRE(desk.wait(answered));
  std::set<std::string> seen;
  desk.click("play");
  CHECK(desk.wait([](const json& s) { return selected(s, "play"); }));
  REQUIRE(desk.wait([&](const json& s) {
    if (answered(s)) seen.insert(s["position"].get<std::string>());
    return s["position"] == "on-box" && answered(s);
  }));
  CHECK(seen.contains("demi-plie"));
  desk.click_at(desk.item("view.0")["rect"][0].get<int>() + 40, desk.item("view.0")["rect"][1].get<int>() + 200);
  desk.key("space");
  CHECK(desk.wait([](const json& s) { return !selected(s, "play"); }));

  desk.click("position.on-box");
  REQUIRE(desk.wait([](const json& s) { return s["position"] == "on-box" && answered(s); }));
  // Nothing was changed: no difference is claimed.
  desk.key("p"), desk.key("p"), desk.key("p");
  REQUIRE(desk.wait([](const json& s) {
    const json* words = find(s, "view.0.state");
    return words != nullptr && (*words)["text"].get<std::string>().starts_with("Nothing to compare with");
  }));
  CHECK(find(desk.state(), "bar") == nullptr);
  desk.keep("window_no_difference");
  desk.key("d");
  REQUIRE(desk.wait([](const json& s) { return s["seats"].size() == 2 && answered(s); }));
  CHECK(depth(desk.state(), 0) == depth(desk.state(), 1));
  CHECK(selected(desk.state(), "seat.1"));
  const json left = desk.item("view.0"), right = desk.item("view.1");
  desk.drag("shoe.crown_height_mm", 0.5, 0.5, -15, 0);
  REQUIRE(desk.wait([](const json& s) { return answered(s) && selected(s, "shoe.crown_height_mm"); }));
  CHECK(depth(desk.state(), 0) != depth(desk.state(), 1));
  REQUIRE(desk.wait([](const json& s) {
    const json* bar = find(s, "bar");
    return bar != nullptr && (*bar)["text"] == "kPa more (+) or less (-)";
  }));
  desk.keep("window_side_by_side");
  // One camera: what turns the right view turns the left one.
  const test::Pixels still = desk.pixels();
  desk.drag("view.1", 0.3, 0.5, 80, 0);
  const auto turned = [&](const json& view) {
    return desk.pixels().differing(still, view["rect"][0], view["rect"][1], view["rect"][2], view["rect"][3]);
  };
  CHECK(turned(left) > 3000);
  CHECK(turned(right) > 3000);

  desk.key("ctrl+e");
  REQUIRE(desk.wait([](const json& s) { return says(s, "Written: "); }));
  const auto stem = (desk.folder() / "sample-tapered-on-box").string();
  CHECK(first_bytes(stem + ".png", 4) == "\x89PNG");
  CHECK(first_bytes(stem + ".pdf", 5) == "%PDF-");
  desk.keep("window_exported");

  // The client's page: three sentences on the screen, and on paper.
  desk.key("c");
  REQUIRE(desk.wait([](const json& s) { return find(s, "client.3") != nullptr; }));
  CHECK(find(desk.state(), "client.4") == nullptr);
  CHECK((*find(desk.state(), "bar"))["text"] == "darker: pressed more");  // not the difference that was looked at
  desk.click("client.page");
  REQUIRE(desk.wait([](const json& s) { return says(s, "-client.pdf"); }));
  CHECK(first_bytes(stem + "-client.pdf", 5) == "%PDF-");
  desk.keep("window_client");
  CHECK(desk.quit() == 0);
}

TEST_CASE("what helps is solved, tried beside the shoe as it is, and kept", "[window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "on-box"}));
  REQUIRE(desk.wait(answered));
  REQUIRE(desk.wait([](const json& s) { return find(s, "verdict.heel_bags") != nullptr; }));
  const double slack = std::stod(desk.item("finding.heel_slack_mm")["text"].get<std::string>());
  desk.click("advice");
  REQUIRE(desk.wait([](const json& s) { return find(s, "offer.1.try") != nullptr; }, 120));
  desk.keep("window_advice");
  const std::string promised = desk.item("offer.1.does")["text"];
  desk.click("offer.1.try");
  REQUIRE(desk.wait([](const json& s) { return s["seats"].size() == 2 && answered(s); }));
  const std::string both = desk.item("finding.heel_slack_mm")["text"];  // "+15.3 mm | +11.3 mm"
  CHECK(std::stod(both) == slack);
  const double tried = std::stod(both.substr(both.find('|') + 1));
  CHECK(tried < slack - 1);
  INFO(promised << " and " << both);
  CHECK(promised.find("becomes " + both.substr(both.find('|') + 3, 4)) != std::string::npos);  // without its sign
  desk.click("try.map");
  REQUIRE(desk.wait([](const json& s) { return selected(s, "try.map"); }));
  desk.keep("window_try");
  desk.click("try.keep");
  const auto titled = [](const std::string& words) {
    return [words](const json& s) { return answered(s) && (*find(s, "title"))["text"] == words; };
  };
  REQUIRE(desk.wait(titled("sample  in  tapered (1 changed)")));
  CHECK(desk.state()["seats"].size() == 1);
  CHECK(std::stod(desk.item("finding.heel_slack_mm")["text"].get<std::string>()) == tried);
  desk.key("ctrl+z");
  REQUIRE(desk.wait([](const json& s) { return s["seats"].size() == 2; }));
  desk.key("ctrl+z");
  CHECK(desk.wait(titled("sample  in  tapered")));
  CHECK(desk.quit() == 0);
}

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

namespace {

std::string focused(const json& s) {
  if (s.contains("items"))
    for (const json& one : s["items"])
      if (one.value("focused", false)) return one["id"];
  return "";
}

/// Presses a key; true when the keyboard went on to another widget.
bool moves_on(test::Desk& desk, const std::string& key, std::set<std::string>& seen) {
  const std::string before = focused(desk.state());
  desk.key(key);
  const bool moved = desk.wait([&](const json& s) { return focused(s) != before; }, 0.2);
  seen.insert(focused(desk.state()));
  return moved;
}

/// Row by row through the panel that has the keyboard.
std::set<std::string> walk(test::Desk& desk, int rows) {
  std::set<std::string> seen{focused(desk.state())};
  for (int row = 0; row < rows; ++row) {
    while (moves_on(desk, "Right", seen)) continue;
    while (moves_on(desk, "Left", seen)) continue;
    if (!moves_on(desk, "Down", seen)) break;
  }
  return seen;
}

}  // namespace

TEST_CASE("without a mouse everything can be reached and used", "[window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "on-box"}));
  REQUIRE(desk.wait(answered));
  const auto panel = [&](const std::string& first) {
    desk.key("F6");
    REQUIRE(desk.wait([](const json& s) { return !focused(s).empty(); }));
    CHECK(focused(desk.state()) == first);
  };
  const auto reached = [](const std::set<std::string>& seen, const std::vector<std::string>& ids) {
    for (const std::string& id : ids) {
      INFO(id);
      CHECK(seen.contains(id));
    }
  };
  panel("open");
  reached(walk(desk, 2), {"open", "save", "export", "side_by_side", "client", "help"});
  panel("view.front");
  reached(walk(desk, 3), {"view.front", "view.above", "view.frame", "look.skin", "look.box", "look.slice", "look.bones",
                          "look.upper", "look.marks", "look.inches"});
  panel("tab.shoe");
  reached(walk(desk, 4), {"tab.shoe", "tab.foot", "tab.constants", "shoe.inner_length_mm", "shoe.ball_breadth_mm"});
  // The files that can be opened, and Help to its end.
  std::ofstream(desk.folder() / "hers.toml") << "format = \"aplomb-card\"\n";
  const auto down = [&](int most) {
    std::set<std::string> seen;
    for (int i = 0; i < most && moves_on(desk, "Down", seen); ++i) continue;
    return seen;
  };
  desk.key("ctrl+o");
  REQUIRE(desk.wait([](const json& s) { return find(s, "entry.hers.toml") != nullptr; }));
  reached(down(20), {"folder.up", "entry.state", "entry.hers.toml"});
  desk.keep("window_keys_files");
  desk.key("Escape");
  desk.key("F1");
  REQUIRE(desk.wait([](const json& s) { return find(s, "help.close") != nullptr; }));
  const std::set<std::string> lines = down(60);
  std::string last;
  const json help = desk.state();
  for (const json& one : help["items"])
    if (one["id"].get<std::string>().starts_with("help.line.")) last = one["id"];
  CHECK(lines.contains(last));
  CHECK((*find(help, last)).value("visible", true));
  desk.keep("window_keys_help");
  desk.key("Escape");
  for (int i = 0; i < 8 && focused(desk.state()) != "tab.shoe"; ++i) desk.key("F6");
  reached(walk(desk, 4), {"shoe.ball_breadth_mm"});
  // A slider by Space, arrows, Space.
  const std::string slider = focused(desk.state());
  REQUIRE(slider.starts_with("shoe."));
  const double before = desk.item(slider)["value"];
  desk.key("space");
  for (int i = 0; i < 3; ++i) desk.key("Right");
  desk.key("space");
  CHECK(desk.wait([&](const json& s) { return answered(s) && selected(s, slider); }));
  CHECK(desk.item(slider)["value"].get<double>() > before);
  desk.keep("window_keys");
  desk.key("F6");  // findings: nothing to set, only to read
  if (focused(desk.state()) != "play") desk.key("F6");
  REQUIRE(desk.wait([](const json& s) { return focused(s) == "play"; }));
  reached(walk(desk, 2), {"play", "position.parallel", "position.on-box", "position.roll-down"});
  // What is asked is the first that the keyboard comes to.
  desk.key("ctrl+q");
  REQUIRE(desk.wait([](const json& s) { return find(s, "leaving.stay") != nullptr; }));
  for (int i = 0; i < 8 && focused(desk.state()) != "leaving.save"; ++i) desk.key("F6");
  reached(walk(desk, 1), {"leaving.save", "leaving.unsaved", "leaving.stay"});
  desk.keep("window_keys_card");
  desk.key("Escape");
  desk.key("Escape");
  REQUIRE(desk.wait([](const json& s) { return find(s, "leaving.stay") == nullptr; }));
  CHECK(desk.quit() == 0);
}
