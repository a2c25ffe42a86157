// Bands: tension and forces against statics and the spring law.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "aplomb/contact/system.h"
#include "rigs.h"

using namespace aplomb;
using namespace aplomb::contact;

namespace {

/// A point hung from two fixed points by one band that slides through it.
Problem hung(double slack_mm) {
  Problem p = rigs::one_link(rigs::free_link(false), Vec3::Zero(), Vec3(0, 0, -30));
  using On = BandPoint::On;
  p.bands = {{"sling",
              {{On::world, 0, Vec3(-40, 0, 100)}, {On::link, 0, Vec3::Zero()}, {On::world, 0, Vec3(40, 0, 100)}},
              4,
              2,
              slack_mm}};
  JointSpring tether{1, "tether"};
  tether.passive_stiffness = 1;
  p.springs = {tether};
  return p;
}

}  // namespace

TEST_CASE("a weight in a sling: the tension is what the angle asks for, and what the length gives") {
  const double slack = GENERATE(80.0, 100.0, 150.0);
  const Problem p = hung(slack);
  SolveOptions options;
  options.residual_tolerance = 1e-11;
  options.seat_load_N = 20;
  Eigen::VectorXd start = Eigen::VectorXd::Zero(3);
  start << 3, 1, 40;
  const LoadPath path = solve(p, start, options);
  REQUIRE(path.loaded.converged);
  const BandState& band = path.loaded.bands.at(0);
  CHECK(path.loaded.q[0] == Approx(0).margin(1e-6));  // by symmetry
  const double down = 100 - path.loaded.q[2], half = std::hypot(40, down);
  CHECK(band.length_mm == Approx(2 * half).epsilon(1e-5));
  CHECK(2 * band.tension_N * down / half == Approx(30).epsilon(1e-5));  // statics
  CHECK(band.tension_N == Approx(4 + 2 * std::max(0.0, band.length_mm - slack)).epsilon(1e-9));
  Vec3 sum = Vec3::Zero();
  for (const Vec3& f : band.force_N) sum += f;
  CHECK(sum.norm() < 1e-12);
  CHECK(band.force_N[1].z() == Approx(30).epsilon(1e-5));  // on the weight
}
