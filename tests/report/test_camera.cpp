// Cameras: which way is which, and the same projection by hand and for OpenGL.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "aplomb/report/camera.h"
#include "scene.h"

using namespace aplomb;
using namespace aplomb::report;

TEST_CASE("Inner and outer side, front and sole lie where a person expects them", "[report][camera]") {
  const auto right_of = [](Aspect aspect, foot::Side side) { return camera_for(aspect, side).right_S(); };
  // A right foot seen from the front has its big toe side (+ y) on the viewer's right; a left one (- y) on the left.
  CHECK((right_of(Aspect::front, foot::Side::right) - Vec3::UnitY()).norm() < 1e-12);
  CHECK((right_of(Aspect::front, foot::Side::left) - Vec3::UnitY()).norm() < 1e-12);
  // From the inner side the front of a right foot is on the left.
  CHECK((right_of(Aspect::inner_side, foot::Side::right) + Vec3::UnitX()).norm() < 1e-12);
  CHECK((right_of(Aspect::inner_side, foot::Side::left) - Vec3::UnitX()).norm() < 1e-12);
  CHECK((right_of(Aspect::below, foot::Side::right) - Vec3::UnitY()).norm() < 1e-12);
  CHECK((right_of(Aspect::above, foot::Side::right) + Vec3::UnitY()).norm() < 1e-12);
  CHECK((camera_for(Aspect::outer_side, foot::Side::right).forward_S - Vec3::UnitY()).norm() < 1e-12);
}

TEST_CASE("A fitted camera shows all and fills the picture", "[report][camera]") {
  const auto scene = test::sample_scene();
  for (const Aspect aspect : {Aspect::front, Aspect::inner_side, Aspect::below}) {
    Camera camera = camera_for(aspect, foot::Side::right);
    camera = fitted(camera, extent_of(scene), 20);
    double least = 1e9;
    for (const Vec3& p : scene.skin.vertices) {
      const Vec2 q = camera.project(p);
      least = std::min({least, q.x(), q.y(), camera.width_px - q.x(), camera.height_px - q.y()});
    }
    CHECK(least >= 20 - 1e-9);
    const Extent extent = extent_of(scene);
    const Vec2 a = camera.project(extent.low), b = camera.project(extent.high);
    CHECK(std::max(std::abs(a.x() - b.x()) / (camera.width_px - 40),
                   std::abs(a.y() - b.y()) / (camera.height_px - 40)) == Approx(1));
    // 10 mm apart across the view: 10 mm over mm_per_px pixels.
    CHECK((camera.project(camera.right_S() * 10) - camera.project(Vec3::Zero())).x() == Approx(10 / camera.mm_per_px));
  }
}

TEST_CASE("Clip coordinates and pixels agree", "[report][camera]") {
  Camera camera = camera_for(Aspect::inner_side, foot::Side::left);
  camera.target_S = {3, -4, 50};
  camera.mm_per_px = 0.31;
  for (const Vec3& p : {Vec3(0, 0, 0), Vec3(12, 30, 80), Vec3(-20, 5, 110)}) {
    const Eigen::Vector4d clip = camera.clip_S() * p.homogeneous();
    const Vec2 pixel = camera.project(p);
    CHECK(clip.w() == 1);
    CHECK((clip.x() + 1) / 2 * camera.width_px == Approx(pixel.x()));
    CHECK((1 - clip.y()) / 2 * camera.height_px == Approx(pixel.y()));
  }
  // Nearer to the eye is smaller in depth.
  const Vec3 near = camera.target_S - 5 * camera.forward_S;
  CHECK((camera.clip_S() * near.homogeneous()).z() < (camera.clip_S() * camera.target_S.homogeneous()).z());
}
