// Picking and cutting a plain body: a box of 20 x 30 x 40 mm.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "boxes.h"
#include "viewer/orbit.h"
#include "viewer/pick.h"

using namespace aplomb;

TEST_CASE("the nearest face under the pointer is picked, with its values and the nearest bone", "[pick]") {
  findings::Scene scene = test::box_scene({20, 30, 40});
  for (const geometry::Vec3& p : scene.skin.vertices) {
    scene.pressure_kPa.push_back(100 + p.z());  // linear, so that it is known inside a face
    scene.gap_mm.push_back(p.x());
    scene.crowding_mm.push_back(0);
    scene.region.push_back(p.x() > 0 ? foot::Region::hallux : foot::Region::heel);
  }
  scene.bones = {{"proximal0", {0, 0, 5}, {0, 0, 12}, 4, true}, {"hindfoot", {0, 0, 30}, {0, 0, 36}, 4, false}};
  viewer::Orbit orbit;
  viewer::look_from(orbit, viewer::StandardView::front);
  orbit.mm_per_px = 0.5;
  orbit.target = {0, 0, 20};
  const report::Camera camera = viewer::camera_of(orbit, foot::Side::right, 200, 200);
  // 10 px up is 5 mm higher; the front face stands at x = 10.
  const auto picked = viewer::pick(scene, camera, 100, 90);
  REQUIRE(picked);
  CHECK(picked->at.x() == Approx(10));
  CHECK(picked->at.z() == Approx(25));
  CHECK(picked->pressure_kPa == Approx(125));
  CHECK(picked->gap_mm == Approx(10));
  CHECK(picked->region == "hallux");
  CHECK(picked->bone == "heel bone");
  CHECK_FALSE(viewer::pick(scene, camera, 5, 5));
}
