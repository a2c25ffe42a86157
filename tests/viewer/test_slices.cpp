// Outlines of a box of 20 x 30 x 40 mm: their perimeters are those of its sides.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "boxes.h"
#include "viewer/slices.h"

using namespace aplomb;
using viewer::SliceAxis;

TEST_CASE("cuts across and along have the outlines of the body", "[slices]") {
  findings::Scene scene = test::box_scene({20, 30, 40});
  const viewer::Slice across = viewer::cut(scene, SliceAxis::across, 15);
  REQUIRE(across.skin.size() == 1);
  CHECK(across.skin[0].closed);
  CHECK(geometry::length(across.skin[0]) == Approx(2 * (20 + 30)));
  CHECK(across.high_mm == Approx(40));
  const viewer::Slice along = viewer::cut(scene, SliceAxis::along, 4);
  REQUIRE(along.skin.size() == 1);
  CHECK(geometry::length(along.skin[0]) == Approx(2 * (20 + 40)));
  for (const geometry::Vec3& p : along.skin[0].points) CHECK(p.y() == Approx(4));
  CHECK(viewer::cut(scene, SliceAxis::across, 41).skin.empty());
}

TEST_CASE("a tilted cut is longer by the cosine, its ends where the tilt takes them", "[slices]") {
  findings::Scene scene = test::box_scene({20, 30, 40});
  const double angle = 30 * std::acos(-1.0) / 180;
  // Across: 20 mm from back to front lie on a slope, 30 mm from side to side do not; the front is 10 tan(30) higher.
  const viewer::Slice across = viewer::cut(scene, SliceAxis::across, 20, 30);
  REQUIRE(across.skin.size() == 1);
  CHECK(geometry::length(across.skin[0]) == Approx(2 * (20 / std::cos(angle) + 30)));
  for (const geometry::Vec3& p : across.skin[0].points) CHECK(p.z() == Approx(20 + p.x() * std::tan(angle)));
  // Along: the front edge goes to the inner side of either foot.
  for (const foot::Side side : {foot::Side::right, foot::Side::left}) {
    scene.side = side;
    const viewer::Slice along = viewer::cut(scene, SliceAxis::along, 0, 30);
    REQUIRE(along.skin.size() == 1);
    CHECK(geometry::length(along.skin[0]) == Approx(2 * (20 / std::cos(angle) + 40)));
    const double medial = side == foot::Side::left ? -1 : 1;
    for (const geometry::Vec3& p : along.skin[0].points)
      CHECK(p.y() == Approx(medial * p.x() * std::tan(angle)).margin(1e-12));
    CHECK(along.right.cross(along.up).norm() == Approx(1));
    CHECK(std::abs(along.normal.dot(along.right)) < 1e-12);
  }
}

TEST_CASE("along counts to the inner side of either foot", "[slices]") {
  findings::Scene scene = test::box_scene({20, 30, 40});
  scene.side = foot::Side::left;
  const viewer::Slice along = viewer::cut(scene, SliceAxis::along, 4);
  REQUIRE(along.skin.size() == 1);
  for (const geometry::Vec3& p : along.skin[0].points) CHECK(p.y() == Approx(-4));
}
