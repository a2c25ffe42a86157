// The sheet of a foot: whatever the foot, tags keep off each other, inside their panels, off the skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "../../src/report/foot_layout.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/report/foot_rows.h"
#include "extreme_feet.h"

using namespace aplomb;
using namespace aplomb::report;
using namespace aplomb::report::test;

namespace {

/// A canvas that only measures words.
struct Scratch {
  Surface surface{cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1)};
  Canvas canvas{surface.get()};
};

/// Every number with words as long as they get.
Words long_words() {
  Words words;
  for (int i = 0; i < foot::number_count; ++i)
    words[i] = {number_name(i) + " \u00b7 prior", "288.8 \u00b1 28.8 mm", "unusual", i % 2 == 0, "88.8 \u00b1 18.8"};
  return words;
}

FootLayout laid_out(const foot::Foot& foot) {
  Scratch scratch;
  return lay_out(scratch.canvas, foot::make_portrait(source_data::model(), foot), long_words());
}

bool touch(const Rect& a, const Rect& b) {
  return a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;
}
bool inside(const Rect& a, const Rect& b) {
  return a.x >= b.x && a.y >= b.y && a.x + a.w <= b.x + b.w && a.y + a.h <= b.y + b.h;
}
Vec2 on_sheet(const FootPanel& panel, const Vec3& p) {
  const Vec2 q = panel.view.camera.project(p);
  return {panel.view.rect.x + q.x(), panel.view.rect.y + q.y()};
}

}  // namespace

TEST_CASE("No two tags of any foot touch, and each lies inside one panel", "[report][foot-sheet]") {
  for (const NamedFoot& one : extreme_feet()) {
    CAPTURE(one.name);
    const FootLayout layout = laid_out(one.foot);
    CHECK(layout.tags.size() == 15);
    CHECK(layout.cells.size() == 15);
    for (std::size_t i = 0; i < layout.tags.size(); ++i) {
      CAPTURE(layout.tags[i].name);
      int panels = 0;
      for (const FootPanel& panel : layout.panels) panels += inside(layout.tags[i].rect, panel.view.rect) ? 1 : 0;
      CHECK(panels == 1);
      for (std::size_t j = i + 1; j < layout.tags.size(); ++j) {
        CAPTURE(layout.tags[j].name);
        CHECK_FALSE(touch(layout.tags[i].rect, layout.tags[j].rect));
      }
    }
    for (std::size_t i = 0; i < layout.cells.size(); ++i) {
      CHECK(inside(layout.cells[i].rect, layout.grid));
      for (std::size_t j = i + 1; j < layout.cells.size(); ++j)
        CHECK_FALSE(touch(layout.cells[i].rect, layout.cells[j].rect));
    }
  }
}

TEST_CASE("Every foot lies inside its panels, under their titles, and no tag hides skin", "[report][foot-sheet]") {
  for (const NamedFoot& one : extreme_feet()) {
    CAPTURE(one.name);
    const foot::Portrait portrait = foot::make_portrait(source_data::model(), one.foot);
    Scratch scratch;
    const FootLayout layout = lay_out(scratch.canvas, portrait, long_words());
    for (const FootPanel& panel : layout.panels) {
      CAPTURE(panel.title);
      const Rect& r = panel.view.rect;
      int outside = 0, hidden = 0;
      for (const Vec3& vertex : (panel.pointed ? portrait.pointed_F : portrait.standing_F).vertices) {
        const Vec2 p = on_sheet(panel, vertex);
        outside += inside({p.x(), p.y(), 0, 0}, {r.x + 8, r.y + 40, r.w - 16, r.h - 48}) ? 0 : 1;
        for (const Tag& tag : layout.tags) hidden += inside({p.x(), p.y(), 0, 0}, tag.rect) ? 1 : 0;
      }
      CHECK(outside == 0);
      CHECK(hidden == 0);
    }
  }
}

TEST_CASE("Plan and inner side share scale and line, and show the foot of its own side", "[report][foot-sheet]") {
  for (const NamedFoot& one : extreme_feet()) {
    CAPTURE(one.name);
    const FootLayout layout = laid_out(one.foot);
    const FootPanel &plan = layout.panels[0], &side = layout.panels[1];
    CHECK(plan.view.camera.mm_per_px == side.view.camera.mm_per_px);
    const Vec3 some(123, 7, 31);
    CHECK(on_sheet(plan, some).x() == Approx(on_sheet(side, some).x()));
    // From above a right foot whose toes lie on the left has its inner side below; so has a left foot mirrored.
    const double medial = one.foot.side == foot::Side::left ? -1 : 1;
    CHECK(on_sheet(plan, Vec3(200, 30 * medial, 0)).y() > on_sheet(plan, Vec3(200, -30 * medial, 0)).y());
    CHECK((on_sheet(plan, Vec3(200, 0, 0)).x() - on_sheet(plan, Vec3(0, 0, 0)).x()) * medial < 0);
  }
}

TEST_CASE("Dimension lines are as long as the numbers at the view's scale", "[report][foot-sheet]") {
  for (const NamedFoot& one : extreme_feet()) {
    CAPTURE(one.name);
    const FootLayout layout = laid_out(one.foot);
    std::vector<double> lengths_mm;
    for (const Stroke& stroke : layout.strokes)
      if (stroke.kind == Stroke::Kind::dimension && stroke.points.size() == 2)
        lengths_mm.push_back((stroke.points[1] - stroke.points[0]).norm() * layout.panels[0].view.camera.mm_per_px);
    for (const char* key : {"foot_length_mm", "foot_breadth_mm", "ball_length_mm", "heel_breadth_mm",
                            "instep_height_mm", "arch_height_mm", "lateral_malleolus_height_mm"}) {
      CAPTURE(key);
      const double value = one.foot.measurements.at(key).value;
      CHECK(std::any_of(lengths_mm.begin(), lengths_mm.end(), [&](double mm) { return std::abs(mm - value) < 0.3; }));
    }
  }
}

TEST_CASE("A number without words gets neither tag nor line", "[report][foot-sheet]") {
  Scratch scratch;
  const foot::Portrait portrait = foot::make_portrait(source_data::model());
  const FootLayout none = lay_out(scratch.canvas, portrait, {});
  CHECK(none.tags.empty());
  CHECK(none.cells.empty());
  CHECK(none.strokes.empty());
  Words words;
  words[foot::heel_breadth] = {"Heel breadth", "62 mm", "", false, ""};
  const FootLayout one = lay_out(scratch.canvas, portrait, words);
  REQUIRE(one.tags.size() == 1);
  CHECK_FALSE(one.tags[0].solid);
  for (const Stroke& stroke : one.strokes)
    if (stroke.kind == Stroke::Kind::dimension) CHECK_FALSE(stroke.solid);
}

TEST_CASE("Things in a row are spread without touching, near where they want to be", "[report][foot-sheet]") {
  const auto free = spread({30, 90}, {20, 20}, 0, 200, 5);
  CHECK(free == std::vector<double>{30, 90});
  const auto pushed = spread({50, 50, 52}, {20, 20, 20}, 0, 200, 5);
  CHECK(pushed == std::vector<double>{50, 75, 100});
  const auto back = spread({190, 195}, {20, 20}, 0, 200, 5);
  CHECK(back == std::vector<double>{165, 190});
  // Too many for their gaps: closer, but apart.
  const auto tight = spread({10, 10, 10}, {20, 20, 20}, 0, 62, 5);
  CHECK(tight[1] - tight[0] == Approx(21));
  CHECK(tight[2] + 10 <= 62 + 1e-9);
}
