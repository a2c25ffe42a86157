// Elastic foundations under a sphere and a cylinder: the solver against closed forms.
// Sources: Johnson, Contact Mechanics (1985), ch. 4.3; Popov, Contact Mechanics and Friction, ch. 5. The log law's
// sphere F = 2 pi R M h [(1-x) ln(1-x) + x] is the same integral over a paraboloid with p = -M ln(1 - d/h).
//
// The closed forms know a sharp start of contact; the solver's skin begins to feel the wall ramp_half_width_mm before.
// Its pressure is the derivative of the layer's energy over the gap, and a paraboloid's force is 2 pi R times that
// energy at the lowest point: the smooth start moves pressure about near the edge and costs no force at all, at any
// size.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cstdio>

#include "rigs.h"

using namespace aplomb::contact;
using namespace aplomb::contact::rigs;

namespace {

// Presses skin on the floor z = 0 with `force` and returns how far it comes down.
double press(const std::vector<SkinPoint>& skin, double force_N, double d_expected) {
  const Plane floor(Vec3::Zero(), Vec3::UnitZ());
  Problem problem = one_link(lift_link(), Vec3::Zero(), {0, 0, -force_N});
  add_skin(problem, skin, &floor, 0);
  SolveOptions options;
  options.seat_load_N = 0.01 * force_N;
  options.step_cap_mm = d_expected;
  const LoadPath path = solve(problem, Eigen::VectorXd::Constant(1, -0.05 * d_expected), options);
  REQUIRE(path.loaded.converged);
  CHECK(path.loaded.stable);
  return -path.loaded.q[0];
}

double log_sphere(double R, const Layer& layer, double d) { return 2 * pi * R * layer_energy(layer, d).value; }

}  // namespace

TEST_CASE("ladder: Winkler foundation under a spherical cap") {
  // Printed figure: K 1 N/mm^3 (1e9 N/m^3), R 10 mm, d 1 mm: 30.3687 N.
  const auto cap = [](double R, double K, double d) { return K * pi * d * d * (R - d / 3); };
  CHECK(cap(10, 1, 1) == Approx(30.3687).epsilon(2e-6));
  for (double s : {1.0, 10.0}) {
    const double force = cap(10 * s, 1, s);
    const double d = press(spherical_cap(10 * s, 5 * s, 400, 6, winkler(1)), force, s);
    std::printf("winkler cap, size x%g: force at the solved depth %+.4f %%\n", s,
                100 * (force / cap(10 * s, 1, d) - 1));
    CHECK(cap(10 * s, 1, d) == Approx(force).epsilon(s == 1 ? 1e-3 : 1e-4));
  }
}

TEST_CASE("ladder: log layer under a sphere, at its own size and at ten times it") {
  for (double s : {1.0, 10.0}) {
    const double R = 10 * s;
    const Layer layer{.modulus_MPa = 1.89655, .thickness_mm = 5 * s};
    for (auto [x, printed_N] : {std::pair(0.1, 3.08368), std::pair(0.5, 91.4144)}) {
      const double d_exact = x * layer.thickness_mm,
                   force = s * s * printed_N;  // a layer knows no size: force ~ length^2
      const double d = press(paraboloid(R, 1.2 * std::sqrt(2 * R * d_exact), 400, 6, layer), force, d_exact);
      std::printf("log sphere x = %.1f, size x%g: force at the solved depth %+.4f %%\n", x, s,
                  100 * (force / log_sphere(R, layer, d) - 1));
      CHECK(log_sphere(R, layer, d) == Approx(force).epsilon(1e-4));
      CHECK(d == Approx(d_exact).epsilon(1e-4));
    }
  }
}

TEST_CASE("ladder: the smooth start of contact costs a sphere no force, however light the touch") {
  for (double d_sharp : {0.1, 0.25, 1.0}) {
    const double force = pi * 10 * d_sharp * d_sharp;  // K = 1, paraboloid
    const double d = press(paraboloid(10, 1.5 * std::sqrt(20 * d_sharp), 4000, 4, winkler(1)), force, d_sharp);
    CAPTURE(d_sharp);
    CHECK(d == Approx(d_sharp).epsilon(1e-5));
  }
}

TEST_CASE("ladder: Winkler foundation under a cylinder") {
  // F' = (4/3) K sqrt(2R) d^1.5 per length (parabola). R 100 mm, 40 mm long.
  const double R = 100, d_exact = 5, length = 40, force = 4.0 / 3 * std::sqrt(2 * R) * std::pow(d_exact, 1.5) * length;
  std::vector<SkinPoint> skin;
  const int n = 2000;
  const double half = 1.2 * std::sqrt(2 * R * d_exact);
  for (int i = 0; i < n; ++i) {
    SkinPoint point;
    const double x = half * (2 * (i + 0.5) / n - 1);
    const Vec3 normal(x / R, 0, -1);
    point.position_rest = {x, 0, x * x / (2 * R)};
    point.normal_rest = normal.normalized();
    point.area_mm2 = 2 * half / n * length * normal.norm();
    point.layer = winkler(1);
    skin.push_back(point);
  }
  const double d = press(skin, force, d_exact);
  std::printf("winkler cylinder: depth %+.4f %%\n", 100 * (d / d_exact - 1));
  CHECK(std::pow(d / d_exact, 1.5) == Approx(1).epsilon(1e-3));
}
