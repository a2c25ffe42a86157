// Friction: exact derivatives, the cone, no creep, and work that only ever turns into heat.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <random>

#include "aplomb/contact/friction.h"

using namespace aplomb::contact;

namespace {

std::mt19937& generator() {
  static std::mt19937 g;
  return g;
}

Vec3 random_vector(double size) {
  std::uniform_real_distribution<double> u(-size, size);
  const double x = u(generator()), y = u(generator()), z = u(generator());
  return {x, y, z};
}

// A rigid sphere seen from outside: everything friction needs from the surface is known in closed form.
// gap = |x| - R, n = x/|x|, dn/dx = (I - n n^T)/|x|; pressure from a linear layer.
FrictionInput on_sphere(const Vec3& x, const Vec3& x_stored, const Vec3& slip, double radius, double friction) {
  const double stiffness = 0.4, depth = radius - x.norm();
  FrictionInput in;
  in.normal = x.normalized();
  in.curvature = (Mat3::Identity() - in.normal * in.normal.transpose()) / x.norm();
  in.slip_stored_mm = slip;
  in.motion_mm = x - x_stored;
  in.pressure_MPa = stiffness * depth;
  in.pressure_gradient = -stiffness * in.normal;
  in.friction = friction;
  return in;
}

}  // namespace

TEST_CASE("friction stiffness is minus the derivative of the traction") {
  generator().seed(7);
  int slipped = 0;
  for (int trial = 0; trial < 200; ++trial) {
    const double radius = trial % 2 ? 12.0 : 3.0;
    const double friction = trial % 3 ? 0.35 : 4.0;
    const Vec3 x = Vec3(random_vector(1) + Vec3(0, 0, 1.5)).normalized() * (radius - 0.4);
    const Vec3 x_stored = x + random_vector(1.5), slip = random_vector(0.8);
    const auto traction = [&](const Vec3& p) {
      return friction_return(on_sphere(p, x_stored, slip, radius, friction)).traction_MPa;
    };
    const FrictionOutput out = friction_return(on_sphere(x, x_stored, slip, radius, friction));
    slipped += out.slipping;
    Mat3 numeric;
    for (int j = 0; j < 3; ++j) {
      const Vec3 h = 1e-5 * Vec3::Unit(j);
      numeric.col(j) = -(traction(x + h) - traction(x - h)) / 2e-5;
    }
    CAPTURE(trial, out.slipping);
    REQUIRE((out.stiffness - numeric).norm() < 1e-6 * out.stiffness.norm());
    REQUIRE(std::abs(out.traction_MPa.dot(x.normalized())) < 1e-15);
  }
  CHECK(slipped > 40);
  CHECK(slipped < 160);
}

TEST_CASE("friction follows the spring while it sticks and the cone while it slips") {
  FrictionInput in;
  in.pressure_MPa = 0.1;
  in.friction = 0.3;
  in.shear_stiffness_MPa_per_mm = 0.05;
  in.motion_mm = {0.4, 0, 9};  // the part along the normal does not count
  FrictionOutput out = friction_return(in);
  CHECK_FALSE(out.slipping);
  CHECK(out.traction_MPa.x() == Approx(-0.02));
  CHECK(out.traction_MPa.z() == 0);
  CHECK(out.slip_mm.x() == Approx(0.4));

  in.motion_mm = {3, 4, 0};
  out = friction_return(in);
  CHECK(out.slipping);
  CHECK(out.traction_MPa.x() == Approx(-0.03 * 0.6));
  CHECK(out.traction_MPa.y() == Approx(-0.03 * 0.8));
  CHECK(out.slip_mm.norm() == Approx(0.03 / 0.05));
  CHECK(out.slip_mm.cross(Vec3(3, 4, 0)).norm() < 1e-15);
}

TEST_CASE("friction without pressure or coefficient is nothing and keeps nothing") {
  FrictionInput in;
  in.motion_mm = {1, 2, 0};
  in.slip_stored_mm = {0.1, 0, 0};
  in.pressure_MPa = 0;
  for (double friction : {0.0, 0.5}) {
    in.friction = friction;
    const FrictionOutput out = friction_return(in);
    CHECK(out.traction_MPa.norm() == 0);
    CHECK(out.slip_mm.norm() == 0);
    CHECK(out.stiffness.norm() == 0);
    CHECK_FALSE(out.slipping);
    in.pressure_MPa = 1;
    in.friction = 0;
    CHECK(friction_return(in).slip_mm.norm() == 0);
    in.pressure_MPa = 0;
  }
}

TEST_CASE("friction does not creep: accepting the same place again changes nothing") {
  generator().seed(11);
  for (int trial = 0; trial < 100; ++trial) {
    const Vec3 x = Vec3(random_vector(1) + Vec3(0, 0, 2)).normalized() * 9.7;
    const FrictionOutput first = friction_return(on_sphere(x, x + random_vector(1), random_vector(0.5), 10, 0.3));
    FrictionOutput held = first;
    for (int hold = 0; hold < 1000; ++hold) held = friction_return(on_sphere(x, x, held.slip_mm, 10, 0.3));
    CAPTURE(trial);
    REQUIRE((held.traction_MPa - first.traction_MPa).norm() < 1e-14);
    REQUIRE((held.slip_mm - first.slip_mm).norm() < 1e-13);
  }
}

// Heat = work put in - spring energy gained, per step, on a plane (where the stored slip need not turn). The return is
// the closest point of the cone, so no step may make heat negative, also while the pressure changes; round a closed
// path that ends with the slip it began with, the work put in is all heat.
TEST_CASE("friction dissipates on random closed paths and stays in its cone") {
  generator().seed(3);
  std::uniform_real_distribution<double> pressure(0, 0.2);
  for (int path = 0; path < 50; ++path) {
    FrictionInput in;
    in.friction = 0.35;
    in.normal = Vec3(random_vector(1) + Vec3(0, 0, 2)).normalized();
    const double k = in.shear_stiffness_MPa_per_mm;
    std::vector<Vec3> corners(20);
    for (Vec3& c : corners) c = random_vector(1.5);
    Vec3 x = corners[0];
    double heat = 0;
    for (int lap = 0; lap < 2; ++lap) {
      for (const Vec3& corner : corners) {
        in.pressure_MPa = pressure(generator());
        in.motion_mm = corner - x;
        const FrictionOutput out = friction_return(in);
        REQUIRE(out.traction_MPa.norm() <= in.friction * in.pressure_MPa * (1 + 1e-14));
        const double step_heat =
            -out.traction_MPa.dot(in.motion_mm) - k / 2 * (out.slip_mm.squaredNorm() - in.slip_stored_mm.squaredNorm());
        REQUIRE(step_heat >= -1e-16);
        heat += step_heat;
        in.slip_stored_mm = out.slip_mm;
        x = corner;
      }
    }
    CHECK(heat > 0);
  }
}
