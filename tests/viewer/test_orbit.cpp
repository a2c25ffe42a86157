// The eye: standard views look along the axes of DEVELOPERS.md, a turn keeps lengths, zoom keeps what is under the
// hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "viewer/orbit.h"

using namespace aplomb;
using geometry::Vec3;

namespace {

viewer::Orbit looking(viewer::StandardView view) {
  viewer::Orbit orbit;
  orbit.mm_per_px = 0.5;
  viewer::look_from(orbit, view);
  return orbit;
}

}  // namespace

TEST_CASE("standard views look from where they say, for either foot", "[orbit]") {
  using View = viewer::StandardView;
  // +x is the way she faces, +z up; +y is medial of a right foot and lateral of a left one.
  const auto eye = [](View view, foot::Side side) {
    return Vec3(-viewer::camera_of(looking(view), side, 400, 400).forward_S);
  };
  for (const foot::Side side : {foot::Side::right, foot::Side::left}) {
    const Vec3 medial = side == foot::Side::right ? Vec3(0, 1, 0) : Vec3(0, -1, 0);
    CHECK((eye(View::front, side) - Vec3(1, 0, 0)).norm() < 1e-12);
    CHECK((eye(View::inner_side, side) - medial).norm() < 1e-12);
    CHECK((eye(View::outer_side, side) + medial).norm() < 1e-12);
    CHECK((eye(View::under, side) + Vec3(0, 0, 1)).norm() < 1e-12);
    CHECK((eye(View::above, side) - Vec3(0, 0, 1)).norm() < 1e-12);
  }
}

TEST_CASE("a drag turns the eye and never past the poles", "[orbit]") {
  viewer::Orbit orbit = looking(viewer::StandardView::front);
  viewer::turn(orbit, -50, 0);
  CHECK(orbit.turn_deg == Approx(20));
  for (int i = 0; i < 50; ++i) viewer::turn(orbit, 0, 37);
  CHECK(orbit.rise_deg == 90);
  const report::Camera camera = viewer::camera_of(orbit, foot::Side::right, 300, 200);
  CHECK(camera.forward_S.norm() == Approx(1));
  CHECK(std::abs(camera.forward_S.dot(camera.up_S)) < 1e-12);
}

TEST_CASE("coming nearer keeps the point under the hand, moving follows it", "[orbit]") {
  viewer::Orbit orbit = looking(viewer::StandardView::inner_side);
  orbit.turn_deg = 33, orbit.rise_deg = 21;
  const auto side = foot::Side::right;
  const report::Camera before = viewer::camera_of(orbit, side, 600, 400);
  const Vec3 p = before.target_S + 30 * before.right_S() - 12 * before.up_S;
  const geometry::Vec2 at = before.project(p);
  viewer::zoom(orbit, side, 1.7, at.x(), at.y(), 600, 400);
  CHECK((viewer::camera_of(orbit, side, 600, 400).project(p) - at).norm() < 1e-9);
  CHECK(orbit.mm_per_px == Approx(0.5 / 1.7));
  viewer::pan(orbit, side, 40, -25);
  CHECK((viewer::camera_of(orbit, side, 600, 400).project(p) - at - geometry::Vec2(40, -25)).norm() < 1e-9);
}
