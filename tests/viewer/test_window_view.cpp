// Looking, in the window: turned, moved, nearer, from all sides; what is switched on and off is seen on the pixels;
// every word explained, letters larger.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "desk_state.h"

using namespace aplomb;
using namespace aplomb::test;
using nlohmann::json;

namespace {

struct Rect {
  int x, y, w, h;
};
Rect rect_of(const json& item) { return {item["rect"][0], item["rect"][1], item["rect"][2], item["rect"][3]}; }

int differing(const Pixels& a, const Pixels& b, const Rect& r) { return a.differing(b, r.x, r.y, r.w, r.h); }

/// Pixels of the rectangle that are not what stood (dx, dy) before them.
int unlike_moved(const Pixels& after, const Pixels& before, const Rect& r, int dx, int dy) {
  int count = 0;
  for (int y = r.y; y < r.y + r.h; ++y)
    for (int x = r.x; x < r.x + r.w; ++x) {
      const auto a = after.at(x, y), b = before.at(x - dx, y - dy);
      int most = 0;
      for (std::size_t k = 0; k < 3; ++k) most = std::max(most, std::abs(a[k] - b[k]));
      count += most > 48 ? 1 : 0;
    }
  return count;
}

double view_number(const json& s, const char* name) { return s["view"][name].get<double>(); }

/// Value of the colour bar whose hue is nearest to that of a lit pixel.
double read_off(const Pixels& pixels, const json& bar, double low, const std::array<int, 3>& colour) {
  const Rect r = rect_of(bar);
  const double high = bar["value"];
  const auto hue = [](const std::array<int, 3>& c) {
    const double length = std::hypot(c[0] + 1.0, c[1] + 1.0, c[2] + 1.0);
    return std::array<double, 3>{c[0] / length, c[1] / length, c[2] / length};
  };
  const auto wanted = hue(colour);
  double best = std::numeric_limits<double>::infinity(), value = std::nan("");
  for (int y = r.y + 1; y + 1 < r.y + r.h; ++y) {
    const auto here = hue(pixels.at(r.x + r.w / 2, y));
    const double off = std::hypot(here[0] - wanted[0], here[1] - wanted[1], here[2] - wanted[2]);
    if (off < best) best = off, value = high - (high - low) * (y - r.y + 0.5) / r.h;
  }
  return value;
}

/// Break and arch lie near one another: words cover no mark, and no other words.
void marks_are_clear(const json& s) {
  std::vector<std::pair<std::string, Rect>> marks, words;
  for (const json& item : s["items"]) {
    const std::string id = item["id"];
    if (id.starts_with("mark.")) (id.ends_with(".words") ? words : marks).emplace_back(id, rect_of(item));
  }
  CHECK(marks.size() == 6);
  CHECK(words.size() == 6);
  for (const auto& [of, r] : words) {
    for (const auto& [id, m] : marks) {
      INFO(of << " and " << id);
      CHECK_FALSE((m.x > r.x - 4 && m.x < r.x + r.w + 4 && m.y > r.y - 4 && m.y < r.y + r.h + 4));
    }
    for (const auto& [other, o] : words) {
      INFO(of << " and " << other);
      CHECK((of == other || r.x >= o.x + o.w || o.x >= r.x + r.w || r.y >= o.y + o.h || o.y >= r.y + r.h));
    }
  }
}

}  // namespace

TEST_CASE("the view is turned, moved, come nearer to, and looked at from all sides, by hand and by keys", "[window]") {
  Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "on-box"}));
  REQUIRE(desk.wait(answered));
  desk.key("m");  // their words keep clear of the edges, so they do not move along
  REQUIRE(desk.wait([](const json& s) { return !has(s, "mark.ankle"); }));
  const json first = desk.state();
  const Rect view = rect_of(desk.item("view.0"));
  const auto same = [&](const json& s, const char* name) {
    return std::abs(view_number(s, name) - view_number(first, name)) < 1e-9;
  };

  // The wheel brings nearer, and back.
  desk.wheel("view.0", 0.4, 0.5, 2);
  REQUIRE(desk.wait([&](const json& s) {
    return std::abs(view_number(s, "mm_per_px") * 1.15 * 1.15 / view_number(first, "mm_per_px") - 1) < 1e-6;
  }));
  desk.wheel("view.0", 0.4, 0.5, -2);
  REQUIRE(desk.wait([&](const json& s) { return same(s, "mm_per_px"); }));

  // Shift and drag, or the right button, move the picture as it is.
  const Rect inside{view.x + view.w / 2 - 120, view.y + view.h / 2 - 150, 240, 260};
  const Pixels before = desk.still();
  desk.hold("shift");
  desk.drag("view.0", 0.5, 0.5, 45, 30);
  desk.release("shift");
  const Pixels moved = desk.still();
  CHECK(differing(moved, before, inside) > 2000);
  CHECK(unlike_moved(moved, before, inside, 45, 30) < 300);
  desk.drag("view.0", 0.5, 0.5, -45, -30, 3);
  CHECK(differing(desk.still(), before, inside) < 300);
  CHECK(same(desk.state(), "turn_deg"));
  CHECK(same(desk.state(), "mm_per_px"));

  // The same by keys: she goes to the right and down on the screen, so the eye goes left and up.
  const json framed = desk.state()["view"]["target_mm"];
  for (const char* key : {"shift+Right", "shift+Down"}) desk.key(key);
  REQUIRE(desk.wait([&](const json& s) { return s["view"]["target_mm"][2] > framed[2]; }));
  CHECK(differing(desk.still(), before, inside) > 2000);
  CHECK(same(desk.state(), "turn_deg"));
  desk.key("f");
  REQUIRE(desk.wait([&](const json& s) { return s["view"]["target_mm"] == first["view"]["target_mm"]; }));

  // What is in the middle, and what is beside that.
  desk.key("Return");
  REQUIRE(desk.wait([](const json& s) { return has(s, "picked.region"); }));
  const double middle = desk.item("picked.gap")["value"];
  const auto elsewhere = [&](const json& s) { return value(s, "picked.gap") != middle; };
  // The middle has no box near; further down the screen there is one.
  for (int k = 0; k < 80 && !elsewhere(desk.state()); ++k) desk.key("ctrl+Down");
  CHECK(desk.wait(elsewhere));
  for (int k = 0; k < 60; ++k) desk.key("ctrl+Right");
  CHECK(has(desk.state(), "picked.region"));  // stays on the skin
  desk.key("Escape");
  REQUIRE(desk.wait([](const json& s) { return !has(s, "picked.region"); }));

  // All of it in the picture again, whatever was done to it.
  desk.key("minus");
  REQUIRE(
      desk.wait([&](const json& s) { return view_number(s, "mm_per_px") > 1.1 * view_number(first, "mm_per_px"); }));
  desk.key("f");
  CHECK(desk.wait([&](const json& s) { return same(s, "mm_per_px"); }));
  desk.key("plus");
  REQUIRE(
      desk.wait([&](const json& s) { return view_number(s, "mm_per_px") < 0.9 * view_number(first, "mm_per_px"); }));
  desk.click("view.frame");
  CHECK(desk.wait([&](const json& s) { return same(s, "mm_per_px"); }));

  // From all sides, by keys and by their buttons.
  struct From {
    const char *key, *button;
    double turn_deg, rise_deg;
  };
  Pixels last = desk.still();
  for (const From& from :
       {From{"1", "view.front", 0, 0}, From{"2", "view.inner", 90, 0}, From{"3", "view.outer", -90, 0},
        From{"4", "view.under", 0, -90}, From{"5", "view.above", 0, 90}}) {
    INFO(from.button);
    const auto there = [&](const json& s) {
      return view_number(s, "turn_deg") == from.turn_deg && view_number(s, "rise_deg") == from.rise_deg;
    };
    desk.key(from.key);
    REQUIRE(desk.wait(there));
    const Pixels seen = desk.still();
    CHECK(differing(seen, last, view) > 5000);
    last = seen;
    desk.keep(std::string("window_from_") + (from.button + 5));
    desk.key("Left");
    REQUIRE(desk.wait([&](const json& s) { return view_number(s, "turn_deg") != from.turn_deg; }));
    desk.click(from.button);
    REQUIRE(desk.wait(there));
  }
  desk.key("Up");
  CHECK(desk.wait([](const json& s) { return view_number(s, "rise_deg") == 80; }));
  CHECK(desk.quit() == 0);
}

TEST_CASE("bones, box, fabric, sole, marks and lines are switched on the pixels, and back", "[window]") {
  Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "full-pointe-two"}));
  REQUIRE(desk.wait(answered));
  desk.key("2");
  const Rect view = rect_of(desk.item("view.0"));
  // Pixels that each switch changes at least: a rod is thin, a box is not.
  const auto switched = [&](const std::string& id, const std::vector<std::string>& by, int least) {
    INFO(id);
    desk.point_at("view.0", 0.05, 0.9);
    const Pixels before = desk.still();
    const bool keys = by.front().size() == 1;
    for (std::size_t k = 0; k < by.size(); ++k) {
      const Pixels was = desk.still();
      keys ? desk.key(by[k]) : desk.click(by[k]);
      desk.point_at("view.0", 0.05, 0.9);  // away from the button, whose words would stand over the view
      const Pixels now = desk.still();
      INFO(k);
      CHECK(differing(now, was, view) > least);
      desk.keep("window_" + id + std::to_string(k));
    }
    CHECK(differing(desk.still(), before, view) == 0);
  };
  switched("bones", {"b", "b"}, 3000);
  switched("box", {"x", "x", "x"}, 3000);
  switched("upper", {"look.upper", "look.upper"}, 1000);
  switched("sole", {"look.sole", "look.sole"}, 1000);
  switched("lines", {"look.lines", "look.lines"}, 100);
  marks_are_clear(desk.state());
  switched("marks", {"m", "m"}, 500);
  CHECK(desk.quit() == 0);
}

TEST_CASE("the colour where one picks is that of the number on the bar", "[window]") {
  Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "full-pointe-two"}));
  REQUIRE(desk.wait(answered));
  for (const char* key : {"2", "m", "x", "x"}) desk.key(key);  // from the inner side, nothing over the skin
  desk.click("look.lines");
  desk.click("look.upper");
  desk.click("look.sole");
  const Rect view = rect_of(desk.item("view.0"));
  struct Map {
    const char *title, *picked;
    bool two_sided;
    double scatter;  ///< of the scale: light and shade change a hue a little
  };
  constexpr int wanted = 4;
  for (const Map& map : {Map{"kPa, at the top and over", "picked.pressure", false, 0.15},
                         Map{"mm to the box: + clear, - pressed", "picked.gap", true, 0.2}}) {
    INFO(map.title);
    REQUIRE(desk.wait([&](const json& s) { return text(s, "bar") == map.title; }));
    desk.point_at("view.0", 0.05, 0.9);
    const Pixels picture = desk.still();
    desk.keep(std::string("window_map_") + (map.picked + 7));
    const json bar = desk.item("bar");
    const double high = bar["value"], low = map.two_sided ? -high : 0;
    int compared = 0;
    for (int k = 0; k < 40 && compared < wanted; ++k) {
      const int x = view.x + view.w * (30 + 8 * (k % 5)) / 100, y = view.y + view.h * (50 + 6 * (k / 5)) / 100;
      desk.click_at(x, y);
      if (!has(desk.state(), map.picked)) continue;
      const double there = desk.item(map.picked)["value"];
      if (map.two_sided && there > 14.9) {  // no box near: the skin has no colour
        desk.key("Escape");
        continue;
      }
      desk.key("Escape");
      REQUIRE(desk.wait([](const json& s) { return !has(s, "picked.region"); }));
      INFO(x << ' ' << y << ": " << there);
      CHECK(read_off(picture, bar, low, picture.at(x, y)) ==
            Approx(std::clamp(there, low, high)).margin(map.scatter * (high - low)));
      ++compared;
    }
    CHECK(compared == wanted);
    desk.key("p");
  }
  // What toes press on one another lies between them; that it is drawn shows.
  REQUIRE(desk.wait([](const json& s) { return text(s, "bar") == "mm pressed by the next toe"; }));
  desk.key("1");
  const Pixels crowding = desk.still();
  desk.keep("window_map_crowding");
  for (const char* key : {"p", "p"}) desk.key(key);
  REQUIRE(desk.wait([](const json& s) { return text(s, "bar") == "kPa, at the top and over"; }));
  CHECK(differing(desk.still(), crowding, {view.x, view.y, view.w - 90, view.h}) > 500);
  CHECK(desk.quit() == 0);
}

TEST_CASE("words are explained where the pointer rests, letters grow, ranges come when asked", "[window]") {
  Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "on-box"}));
  REQUIRE(desk.wait(answered));
  const auto explained = [&](const std::string& id, const std::string& words) {
    INFO(id);
    desk.point_at(id);
    CHECK(desk.wait([&](const json& s) { return s.value("hover", "").find(words) != std::string::npos; }, 5));
  };
  explained("look.bones", "their thickness is only drawn");
  explained("shoe.ball_breadth_mm", "Inner breadth of the box at the ball line.");
  explained("finding.heel_slack_mm", "the fold that can be pinched");
  explained("bar", "Pressure on the skin.");
  explained("position.on-box", "");
  desk.keep("window_hover");
  desk.key("i");
  explained("shoe.ball_breadth_mm", " in. ");
  desk.key("i");
  desk.point_at("view.0", 0.1, 0.9);
  CHECK(desk.wait([](const json& s) { return !s.contains("hover"); }, 5));

  // Letters of two steps more, and as they were.
  const int height = rect_of(desk.item("open")).h;
  desk.key("ctrl+plus"), desk.key("ctrl+plus");
  REQUIRE(desk.wait([&](const json& s) { return (*find(s, "open"))["rect"][3].get<int>() > 1.15 * height; }));
  (void)desk.still();
  desk.keep("window_large_letters");
  desk.key("ctrl+0");
  CHECK(desk.wait([&](const json& s) { return (*find(s, "open"))["rect"][3] == height; }));

  (void)desk.still();
  // How sure: on, and stopped by Esc. That it comes to an end: test_app_doubts.cpp.
  desk.key("u");
  REQUIRE(desk.wait([](const json& s) { return s.contains("doubts") && s["doubts"]["running"] == true; }));
  CHECK(selected(desk.state(), "doubts"));
  desk.key("Escape");
  CHECK(desk.wait([](const json& s) { return !s.contains("doubts") && !selected(s, "doubts"); }));
  CHECK(desk.quit() == 0);
}
