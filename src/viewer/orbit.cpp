// Turning, panning and zooming in one frame: that of the room, +z up, +x the way she faces.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "orbit.h"

#include <algorithm>
#include <cmath>

namespace aplomb::viewer {

using geometry::Vec3;

namespace {

constexpr double deg_per_px = 0.4;
constexpr double nearest_mm_per_px = 0.01, farthest_mm_per_px = 5;

}  // namespace

report::Camera camera_of(const Orbit& orbit, foot::Side side, double width_px, double height_px) {
  const double medial = side == foot::Side::left ? -1 : 1;
  const double turn = orbit.turn_deg * geometry::rad_per_deg, rise = orbit.rise_deg * geometry::rad_per_deg;
  const Vec3 level(std::cos(turn), medial * std::sin(turn), 0);
  report::Camera camera;
  camera.target_S = orbit.target;
  camera.forward_S = -(std::cos(rise) * level + std::sin(rise) * Vec3::UnitZ());
  camera.up_S = std::cos(rise) * Vec3::UnitZ() - std::sin(rise) * level;
  camera.mm_per_px = orbit.mm_per_px > 0 ? orbit.mm_per_px : 0.5;
  camera.width_px = width_px;
  camera.height_px = height_px;
  return camera;
}

void turn(Orbit& orbit, double dx_px, double dy_px) {
  orbit.turn_deg = std::remainder(orbit.turn_deg - deg_per_px * dx_px, 360);
  orbit.rise_deg = std::clamp(orbit.rise_deg + deg_per_px * dy_px, -90.0, 90.0);
}

void pan(Orbit& orbit, foot::Side side, double dx_px, double dy_px) {
  const report::Camera camera = camera_of(orbit, side, 100, 100);
  orbit.target += camera.mm_per_px * (-dx_px * camera.right_S() + dy_px * camera.up_S);
}

void zoom(Orbit& orbit, foot::Side side, double factor, double x_px, double y_px, double width_px, double height_px) {
  const double before = orbit.mm_per_px;
  const double after = std::clamp(before / factor, nearest_mm_per_px, farthest_mm_per_px);
  const report::Camera camera = camera_of(orbit, side, width_px, height_px);
  const Vec3 off = (x_px - 0.5 * width_px) * camera.right_S() - (y_px - 0.5 * height_px) * camera.up_S;
  orbit.target += (before - after) * off;
  orbit.mm_per_px = after;
}

void look_from(Orbit& orbit, StandardView view) {
  switch (view) {
    case StandardView::front:
      orbit.turn_deg = 0, orbit.rise_deg = 0;
      break;
    case StandardView::inner_side:
      orbit.turn_deg = 90, orbit.rise_deg = 0;
      break;
    case StandardView::outer_side:
      orbit.turn_deg = -90, orbit.rise_deg = 0;
      break;
    case StandardView::under:
      orbit.turn_deg = 0, orbit.rise_deg = -90;
      break;
    case StandardView::above:
      orbit.turn_deg = 0, orbit.rise_deg = 90;
      break;
  }
}

void frame(Orbit& orbit, foot::Side side, const report::Extent& extent, double width_px, double height_px) {
  const double margin_px = std::min({36.0, 0.2 * width_px, 0.2 * height_px});
  const report::Camera camera = report::fitted(camera_of(orbit, side, width_px, height_px), extent, margin_px);
  orbit.target = camera.target_S;
  orbit.mm_per_px = camera.mm_per_px;
}

}  // namespace aplomb::viewer
