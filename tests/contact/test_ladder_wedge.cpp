// Wedges: normal force under load, locking, and what an elastic layer keeps after unloading.
// Half angle th from the axis, Coulomb friction mu. Equilibrium of a sliding wedge, W = N (sin th + mu cos th), and
// self-locking at mu >= tan th are textbook statics (e.g. Meriam, Statics, ch. 6.4).
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cstdio>

#include "aplomb/contact/system.h"
#include "rigs.h"

using namespace aplomb::contact;
using namespace aplomb::contact::rigs;

namespace {

constexpr double face_mm2 = 400;

/// Two walls meeting below, and a wedge of the same angle that just fills them.
struct Wedge {
  Wedge(double half_angle, double mu, const Layer& layer, double shear_stiffness, double force_N)
      : left(Vec3::Zero(), {std::cos(half_angle), 0, std::sin(half_angle)}),
        right(Vec3::Zero(), {-std::cos(half_angle), 0, std::sin(half_angle)}) {
    Link link = free_link(false);
    std::swap(link.axes[1], link.axes[2]);
    link.axes.pop_back();  // x and z: nothing moves along the wall's edge
    link.axes[1].dof = 1;
    problem = one_link(link, {0, 0, 40}, {0, 0, -force_N});
    for (double side : {-1.0, 1.0}) {
      const Vec3 along(side * std::sin(half_angle), 0, std::cos(half_angle));
      const Vec3 normal(side * std::cos(half_angle), 0, -std::sin(half_angle));
      auto skin = flat(30 * along, 20 * along, 20 * Vec3::UnitY(), normal, 4, layer);
      for (SkinPoint& point : skin) point.shear_stiffness_MPa_per_mm = shear_stiffness;
      add_skin(problem, skin, side < 0 ? &left : &right, mu);
    }
  }
  Plane left, right;
  Problem problem;
};

double normal_sum(const Equilibrium& state) {
  double sum = 0;
  for (const ContactState& c : state.contacts) sum += c.normal_force_N.norm();
  return sum;
}

/// Lowers the wedge to `sink` in steps, then raises it until it carries nothing: peak load, and the sink that is left.
struct Cycle {
  double peak_load_N = 0, residual_sink_mm = 0, normal_left_N = 0;
};
Cycle press_and_release(const Wedge& wedge, double sink_mm) {
  System system(wedge.problem);
  Eigen::VectorXd q = Eigen::VectorXd::Zero(2), R;
  auto load = [&](double sink) {
    q << 0, -sink;
    system.freeze(q);
    system.assemble(q, 0, FrictionMode::exact, R, nullptr);
    return -R[1];  // upward force of the walls
  };
  system.reset_friction(q);
  for (int i = 1; i <= 200; ++i) {
    load(sink_mm * i / 200);
    system.accept(q, FrictionMode::exact);
  }
  Cycle cycle;
  cycle.peak_load_N = load(sink_mm);
  // Raise in small steps, remembering slip, until the walls would have to pull or are out of touch; then close in on
  // the zero within the step.
  double above = sink_mm, below = sink_mm;
  while (true) {
    below = above - sink_mm / 2000;
    if (load(below) <= 0) break;
    system.accept(q, FrictionMode::exact);
    above = below;
  }
  for (int i = 0; i < 60; ++i) {
    const double middle = (above + below) / 2;
    (load(middle) > 0 ? above : below) = middle;
  }
  cycle.residual_sink_mm = (above + below) / 2;
  load(cycle.residual_sink_mm);
  for (const ContactState& c : system.contacts(q, FrictionMode::exact)) cycle.normal_left_N += c.normal_force_N.norm();
  return cycle;
}

}  // namespace

TEST_CASE("ladder: normal force of a loaded wedge") {
  // N / W, both faces together.
  struct Row {
    double deg, mu, ratio;
  };
  for (const Row& row : {Row{6, 0, 9.567},
                         {6, .1, 4.902},
                         {6, .2, 3.296},
                         {6, .3, 2.482},
                         {6, .5, 1.662},
                         {10, 0, 5.759},
                         {10, .1, 3.675},
                         {10, .2, 2.698},
                         {10, .3, 2.132},
                         {10, .5, 1.501}}) {
    const double th = row.deg * rad_per_deg, W = 200;
    const Wedge wedge(th, row.mu, {.modulus_MPa = 1.5, .thickness_mm = 6}, 0.25, W);
    SolveOptions options;
    options.seat_load_N = 2;
    const LoadPath path = solve(wedge.problem, Eigen::Vector2d(0, -0.1), options);
    CAPTURE(row.deg, row.mu);
    REQUIRE(path.loaded.converged);
    const double N = normal_sum(path.loaded);
    CHECK(N / W == Approx(row.ratio).margin(6e-4));
    CHECK(N / W == Approx(1 / (std::sin(th) + row.mu * std::cos(th))).epsilon(1e-6));
  }
}

TEST_CASE("ladder: a wedge locks when friction reaches the tangent of its half angle") {
  for (auto [deg, tangent] :
       {std::pair(4., .0699), {6., .1051}, {8., .1405}, {10., .1763}, {12., .2126}, {15., .2679}}) {
    CAPTURE(deg);
    CHECK(std::tan(deg * rad_per_deg) == Approx(tangent).margin(5e-5));
    for (double part : {0.98, 1.02}) {
      const Wedge wedge(deg * rad_per_deg, part * tangent, winkler(0.3), 0.3, 100);
      const Cycle cycle = press_and_release(wedge, 5);
      CHECK(cycle.peak_load_N > 0);
      if (part < 1) {
        CHECK(cycle.residual_sink_mm * std::sin(deg * rad_per_deg) == Approx(-ramp_half_width_mm).epsilon(1e-2));
        CHECK(cycle.normal_left_N < 1e-6 * cycle.peak_load_N);
      } else {
        CHECK(cycle.residual_sink_mm > 0.3 * 5);
        CHECK(cycle.normal_left_N > 0.5 * cycle.peak_load_N);
      }
    }
  }
}

// Linear layer, k normal and kt shear: loading slips at t = mu p, unloading sticks, and the walls carry nothing when
// p sin + t cos = 0: residual / peak = 1 - sin th (mu + tan th) / ((kt/k) cos th + sin th tan th). nu .45 with the
// oedometric k = E (1-nu) / ((1+nu)(1-2nu) h) and kt = E / (2 (1+nu) h), mu .3, 6 deg: .5824.
TEST_CASE("ladder: what a wedge keeps after unloading") {
  const double nu = 0.45, k = 0.3, kt = k * (1 - 2 * nu) / (2 * (1 - nu));
  for (double deg : {6.0, 4.0, 9.0}) {
    const double th = deg * rad_per_deg, mu = 0.3;
    const double exact = 1 - std::sin(th) * (mu + std::tan(th)) / (kt / k * std::cos(th) + std::sin(th) * std::tan(th));
    if (deg == 6.0) CHECK(exact == Approx(.5824).margin(5e-5));
    const Wedge wedge(th, mu, winkler(k), kt, 100);
    const double peak = 8;
    const Cycle cycle = press_and_release(wedge, peak);
    const double p_peak = k * peak * std::sin(th);
    CHECK(cycle.peak_load_N == Approx(2 * face_mm2 * p_peak * (std::sin(th) + mu * std::cos(th))).epsilon(1e-5));
    std::printf("wedge %g deg: kept %.5f of the sink, exact %.5f\n", deg, cycle.residual_sink_mm / peak, exact);
    CHECK(cycle.residual_sink_mm / peak == Approx(exact).epsilon(1e-3));
  }
}

TEST_CASE("ladder: cycling the load leaves a locked wedge where it is") {
  const Wedge wedge(6 * rad_per_deg, 0.3, {.modulus_MPa = 1.5, .thickness_mm = 6}, 0.05, 200);
  SolveOptions options;
  options.settle = true;
  options.residual_tolerance = 1e-11;
  const LoadPath path = solve(wedge.problem, Eigen::Vector2d(0, -0.1), options);
  REQUIRE(path.settled);
  REQUIRE(path.settled->converged);
  CHECK((path.settled->q - path.loaded.q).norm() < 1e-6);
}
