// Skin against skin: blocks and spheres pressed together, both layers in series, and nothing that depends on who is
// first.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cstdio>

#include "rigs.h"

using namespace aplomb::contact;
using namespace aplomb::contact::rigs;

namespace {

const Layer lower_layer{.modulus_MPa = 1.5, .thickness_mm = 6}, upper_layer{.modulus_MPa = 0.6, .thickness_mm = 4};
constexpr double ground_N_per_mm = 50;

/// Two bodies on slides along z, unknowns 0 and 1: the lower on a spring, the upper under the load.
Problem facing(const std::vector<SkinPoint>& lower, const std::vector<SkinPoint>& upper, double force_N, bool swapped) {
  Problem problem = one_link(lift_link(), Vec3::Zero(), {0, 0, -force_N});
  Link second = lift_link();
  second.axes[0].dof = 1;
  problem.linkage.links.push_back(second);
  problem.linkage.dof_count = problem.dof_count = 2;
  problem.dof_is_length = {true, true};
  problem.load.link = 1;
  add_skin(problem, lower, nullptr, 0, 0);
  add_skin(problem, upper, nullptr, 0, 1);
  JointSpring ground;
  ground.dof = 0;
  ground.passive_stiffness = ground_N_per_mm;
  problem.springs.push_back(ground);
  SkinPair pair;
  for (std::size_t i = 0; i < lower.size(); ++i) pair.a.push_back(static_cast<int>(i));
  for (std::size_t i = 0; i < upper.size(); ++i) pair.b.push_back(static_cast<int>(lower.size() + i));
  if (swapped) std::swap(pair.a, pair.b);
  problem.pairs = {pair};
  return problem;
}

Equilibrium press(const Problem& problem) {
  SolveOptions options;
  options.residual_tolerance = options.tolerance_on_the_way = 1e-11;
  options.trusted_step_mm = 0;
  options.seat_load_N = 0.05 * problem.load_N;
  const LoadPath path = solve(problem, Eigen::Vector2d(0, -0.06), options);
  REQUIRE(path.loaded.converged);
  CHECK(path.loaded.stable);
  return path.loaded;
}

std::vector<SkinPoint> block(double z_normal, int n, const Layer& layer) {
  return flat(Vec3::Zero(), {20, 0, 0}, {0, 20, 0}, {0, 0, z_normal}, n, layer);
}

/// Paraboloid facing down (lowest point at the origin) or, turned over, up.
std::vector<SkinPoint> dome(double R, bool up, int rings, double radius, const Layer& layer) {
  auto skin = paraboloid(R, radius, rings, std::max(16, static_cast<int>(2.5 * radius)), layer);
  if (up)
    for (SkinPoint& point : skin) {
      point.position_rest.z() *= -1;
      point.normal_rest.z() *= -1;
    }
  return skin;
}

double loaded_area(const Equilibrium& state) {
  double area = 0;
  for (const ContactState& c : state.contacts) area += c.area_mm2;
  return area;
}

}  // namespace

TEST_CASE("ladder: flat blocks press each other by the law of layers in series") {
  for (int upper_n : {20, 14}) {
    const Equilibrium state = press(facing(block(1, 20, lower_layer), block(-1, upper_n, upper_layer), 40, false));
    const double overlap = state.q[0] - state.q[1];
    CAPTURE(upper_n);
    CHECK(400 * series_energy(lower_layer, upper_layer, overlap).jet.first == Approx(40).epsilon(1e-6));
    CHECK(-ground_N_per_mm * state.q[0] == Approx(40).epsilon(1e-9));  // what presses down arrives below
    // 40 N on 400 mm^2 are 100 kPa: between the tabulated 99.89 at 1 mm and the next.
    CHECK(overlap == Approx(1).margin(0.002));
    Vec3 sum = Vec3::Zero();
    for (const ContactState& c : state.contacts) {
      CHECK(c.against == ContactState::Against::skin);
      CHECK(c.pressure_MPa == Approx(0.1).epsilon(1e-6));
      const double lower_share = series_energy(lower_layer, upper_layer, overlap).first_compression_mm;
      CHECK(c.compression_mm == Approx(c.normal.z() < 0 ? lower_share : overlap - lower_share));
      sum += c.normal_force_N;
    }
    CHECK(sum.norm() < 1e-9);  // both sides alike
    CHECK(loaded_area(state) == Approx(800));
  }
}

TEST_CASE("ladder: exchanging the two patches changes nothing") {
  for (bool round : {false, true}) {
    const auto lower = round ? dome(15, true, 24, 9, lower_layer) : block(1, 17, lower_layer);
    const auto upper = round ? dome(9, false, 20, 8, upper_layer) : block(-1, 12, upper_layer);
    const Equilibrium one = press(facing(lower, upper, 20, false)), other = press(facing(lower, upper, 20, true));
    CAPTURE(round);
    CHECK((one.q - other.q).norm() <= 1e-10 * one.q.norm());
    CHECK(one.contacts.size() == other.contacts.size());
    CHECK(loaded_area(one) == Approx(loaded_area(other)).epsilon(1e-12));
  }
}

// Two paraboloids touching at their tops: gap d - r^2/2 (1/R1 + 1/R2), so F = 2 pi R times the series energy at d, R =
// R1 R2 / (R1 + R2) (Johnson, Contact Mechanics, ch. 4). The closed form holds for small slopes; the model projects
// areas and forces on the plane midway between the patches, which differs by the square of the slope: the rung is
// climbed with flat spheres, and the difference at a toe's curvature is shown.
TEST_CASE("ladder: two spheres press each other as one sphere of the combined radius") {
  struct Row {
    double R1, R2, d, tolerance;
  };
  for (const Row& row :
       {Row{480, 320, 1.5, 1e-3}, {120, 80, 0.5, 3e-3}, {120, 80, 3, 3e-3}, {12, 8, 0.5, 3e-3}, {12, 8, 1.5, 4e-3}}) {
    const double R = row.R1 * row.R2 / (row.R1 + row.R2);
    const double force = 2 * pi * R * series_energy(lower_layer, upper_layer, row.d).jet.value;
    const double a2 = 2 * R * row.d, rim = std::sqrt(a2) + 5;
    const int rings = static_cast<int>(std::max(rim, 9 * rim * rim / a2));  // 9 of them or more inside the contact
    const Equilibrium state = press(facing(dome(row.R1, true, rings, rim, lower_layer),
                                           dome(row.R2, false, rings, rim, upper_layer), force, false));
    const double overlap = state.q[0] - state.q[1];
    const double closed = 2 * pi * R * series_energy(lower_layer, upper_layer, overlap).jet.value;
    std::printf(
        "two spheres R %g and %g, overlap %.3f mm (exact %.2f), rim slope %.2f: force at the solved overlap %+.2f %%\n",
        row.R1, row.R2, overlap, row.d, std::sqrt(2 * R * row.d) / row.R2, 100 * (force / closed - 1));
    CHECK(-ground_N_per_mm * state.q[0] == Approx(force).epsilon(1e-9));
    CHECK(force / closed == Approx(1).epsilon(row.tolerance));
  }
}
