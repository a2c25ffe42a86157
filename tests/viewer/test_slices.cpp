// Outlines of a box of 20 x 30 x 40 mm: their perimeters are those of its sides.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

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

TEST_CASE("along counts to the inner side of either foot", "[slices]") {
  findings::Scene scene = test::box_scene({20, 30, 40});
  scene.side = foot::Side::left;
  const viewer::Slice along = viewer::cut(scene, SliceAxis::along, 4);
  REQUIRE(along.skin.size() == 1);
  for (const geometry::Vec3& p : along.skin[0].points) CHECK(p.y() == Approx(-4));
}
