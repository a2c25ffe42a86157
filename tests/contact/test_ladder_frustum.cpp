// A rigid frustum covered with tissue, in a conical box with a flat platform: the smallest model of a forefoot in a
// box. Rows computed independently from: platform p_1(d), d = sink; wall p_2(d), d = sink sin th - c cos th (c the
// radial slack); p = -M ln(1 - d/h); W = A_1 p_1 + 2 pi r L p_2 (sin th + mu cos th), the wall slipping everywhere.
//
// The table knows a sharp start of contact and has rows that miss the wall by .005 mm, inside the smooth start of
// ramp_half_width_mm. All lengths are therefore taken ten times and the load a hundred times (a layer knows no size),
// where such near misses are outside it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cstdio>

#include "rigs.h"

using namespace aplomb::contact;
using namespace aplomb::contact::rigs;

namespace {

constexpr double size = 10;
constexpr double slant = 45 * size, mean_radius = 25 * size, platform_mm2 = 800 * size * size, W = 589 * size * size;
constexpr double mean_height = 40 * size;

struct Frustum {
  Frustum(double half_angle, double mu, double slack_mm)
      : platform(Vec3::Zero(), Vec3::UnitZ()),
        wall(Isometry::Identity(), mean_radius + slack_mm * size - mean_height * std::tan(half_angle), half_angle) {
    const Layer layer{.modulus_MPa = 1.5, .thickness_mm = 6 * size};
    problem = one_link(free_link(false), {0, 0, 100 * size}, {0, 0, -W});
    const double side = std::sqrt(platform_mm2);
    add_skin(problem, flat(Vec3::Zero(), side * Vec3::UnitX(), side * Vec3::UnitY(), -Vec3::UnitZ(), 8, layer),
             &platform, mu);
    auto skin = frustum_side(half_angle, mean_radius, slant, mean_height, 12, 48, layer);
    const double nu = 0.4, E = 1.5 / layer_factor(nu);
    for (SkinPoint& point : skin) point.shear_stiffness_MPa_per_mm = E / (2 * (1 + nu) * layer.thickness_mm);
    add_skin(problem, skin, &wall, mu);
    // Frictionless on the platform and clear of the wall it would slide about freely: a hair of spring keeps it in the
    // middle.
    for (int dof : {0, 1}) problem.springs.push_back({.dof = dof, .name = "centre", .passive_stiffness = 1e-3 * size});
  }
  Plane platform;
  Cone wall;
  Problem problem;
};

}  // namespace

TEST_CASE("ladder: rigid frustum in a conical box") {
  struct Row {
    double deg, mu, slack_mm, sink_mm, platform_percent, wall_percent, platform_kPa;
  };
  std::vector<Row> rows{{6, 0, 0, 2.1928, 92.67, 7.33, 682.3},
                        {6, .3, 0, 1.8682, 76.00, 24.00, 559.6},
                        {6, .3, .2, 2.2477, 95.63, 4.37, 704.1},
                        {15, 0, .5, 2.2024, 93.19, 6.81, 0},
                        {10, 0, 0, 1.9794, 81.56, 18.44, 600.5}};
  for (double deg : {4., 6., 8., 10., 12.})
    for (double mu : {0., .3, .6}) rows.push_back({deg, mu, .5, 2.3273, 100, 0, 736.3});
  for (const Row& row : rows) {
    CAPTURE(row.deg, row.mu, row.slack_mm);
    const Frustum frustum(row.deg * rad_per_deg, row.mu, row.slack_mm);
    SolveOptions options;
    options.seat_load_N = 10 * size * size;
    options.step_cap_mm = 2 * size;
    const LoadPath path = solve(frustum.problem, Eigen::Vector3d(0, 0, -0.1), options);
    REQUIRE(path.loaded.converged);
    CHECK(path.loaded.stable);
    const double sink = -path.loaded.q[2] / size;
    const double platform = 100 * surface_force(path.loaded, 0).z() / W,
                 wall = 100 * surface_force(path.loaded, 1).z() / W;
    double peak = 0;
    for (const ContactState& c : path.loaded.contacts)
      if (c.surface == 0) peak = std::max(peak, 1e3 * c.pressure_MPa);
    std::printf(
        "frustum %4.0f deg mu %.1f slack %.1f: sink %.4f platform %.2f wall %.2f %.1f kPa (sink off by %+.4f %%)\n",
        row.deg, row.mu, row.slack_mm, sink, platform, wall, peak, 100 * (sink / row.sink_mm - 1));
    CHECK(sink == Approx(row.sink_mm).epsilon(5e-4).margin(5e-5));
    CHECK(platform == Approx(row.platform_percent).epsilon(5e-4).margin(5e-3));
    CHECK(wall == Approx(row.wall_percent).epsilon(5e-4).margin(6e-3));  // printed to two digits
    CHECK(platform + wall == Approx(100).margin(1e-4));
    if (row.platform_kPa > 0) CHECK(peak == Approx(row.platform_kPa).epsilon(5e-4));
  }
}

// Directions every fitter expects, over nine values each.
TEST_CASE("ladder: a wider box lets the frustum deeper, a rougher one holds it up, a heavier load sinks it") {
  auto solved = [](double mu, double slack, double load_factor) {
    Frustum frustum(8 * rad_per_deg, mu, slack);
    frustum.problem.load.force_N *= load_factor;
    frustum.problem.load_N *= load_factor;
    SolveOptions options;
    options.seat_load_N = 10 * size * size;
    const LoadPath path = solve(frustum.problem, Eigen::Vector3d(0, 0, -0.1), options);
    REQUIRE(path.loaded.converged);
    return std::pair(-path.loaded.q[2], surface_force(path.loaded, 0).z());
  };
  std::vector<std::pair<double, double>> wider, rougher, heavier;
  for (int i = 0; i <= 9; ++i) {
    wider.push_back(solved(.35, .03 * i, 1));
    rougher.push_back(solved(.06 * i, .05, 1));
    heavier.push_back(solved(.35, .05, .5 + .1 * i));
  }
  for (int i = 0; i < 9; ++i) {
    CAPTURE(i);
    CHECK(wider[i].first < wider[i + 1].first);
    CHECK(wider[i].second < wider[i + 1].second);
    CHECK(rougher[i].first > rougher[i + 1].first);
    CHECK(heavier[i].first < heavier[i + 1].first);
  }
}
