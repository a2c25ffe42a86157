// The window without a mouse.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <fstream>
#include <set>

#include "desk_state.h"

using namespace aplomb;
using namespace aplomb::test;
using nlohmann::json;

namespace {

/// Presses a key; true when the keyboard went on to another widget.
bool moves_on(test::Desk& desk, const std::string& key, std::set<std::string>& seen) {
  const std::string before = focused(desk.state());
  desk.key(key);
  const std::string now = focused(desk.state());
  seen.insert(now);
  return now != before;
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
