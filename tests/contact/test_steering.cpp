// Aims that are found: a block on a floor under a loaded ankle, its line of force against statics.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "../../src/contact/beside.h"
#include "../../src/contact/newton.h"
#include "aplomb/contact/system.h"
#include "rigs.h"

using namespace aplomb;
using namespace aplomb::contact;

namespace {

constexpr double load_N = 100, ankle_height_mm = 90, hold_Nmm = 50000, cap_Nmm = 4000;

/// A flat sole of 60 x 40 mm on a floor, hinged about +y at an ankle over `ankle_x`; the shin slides but cannot tilt.
/// The ankle's spring is steered so that the line of force passes x = at_mm.
Problem standing_block(const rigs::Plane& floor, double ankle_x, double at_mm, double range) {
  using Kind = LinkageAxis::Kind;
  const Vec3 ankle(ankle_x, 0, ankle_height_mm);
  Link shin{"shin", -1, {}};
  for (int k = 0; k < 3; ++k) shin.axes.push_back({Kind::slide, k, 1, Vec3::Unit(k), Vec3::Zero()});
  shin.axes.push_back({Kind::turn, 3, 1, Vec3::UnitX(), ankle});
  shin.axes.push_back({Kind::turn, 4, 1, Vec3::UnitY(), ankle});
  Link foot{"foot", 0, {{Kind::turn, 5, 1, Vec3::UnitY(), ankle}}};
  Problem p;
  p.linkage.links = {shin, foot};
  p.linkage.dof_count = p.dof_count = 6;
  p.dof_is_length = {true, true, true, false, false, false};
  std::vector<SkinPoint> sole;
  for (int i = 0; i < 30; ++i)
    for (int j = 0; j < 20; ++j) {
      SkinPoint s;
      s.position_rest = Vec3(-29 + 2 * i, -19 + 2 * j, 0);
      s.normal_rest = -Vec3::UnitZ();
      s.area_mm2 = 4;
      s.layer = {1.33, 10};
      sole.push_back(s);
    }
  rigs::add_skin(p, sole, &floor, 0.5, 1);
  JointSpring ankle_spring{5, "ankle"};
  ankle_spring.tone_stiffness = hold_Nmm;
  ankle_spring.tone_cap = cap_Nmm;
  p.springs = {ankle_spring};
  // Nothing else holds the block where it is along the floor.
  for (int k = 0; k < 2; ++k) {
    JointSpring tether{k, "tether"};
    tether.passive_stiffness = 1e-6;  // its pull would tilt the line
    p.springs.push_back(tether);
  }
  p.locked = {3, 4};
  Steering steer{0, 4, Vec3::UnitX(), 1, at_mm};
  steer.min = -range;
  steer.max = range;
  p.steering = {steer};
  p.load = {0, ankle, Vec3(0, 0, -load_N)};
  p.load_N = load_N;
  return p;
}

double line_of_force(const Equilibrium& state) {
  double moment = 0, up = 0;
  for (const ContactState& c : state.contacts) {
    const Vec3 f = c.normal_force_N + c.friction_force_N;
    moment += c.position.x() * f.z() - c.position.z() * f.x();
    up += f.z();
  }
  return moment / up;
}

Equilibrium stand(const Problem& p) {
  SolveOptions options;
  options.residual_tolerance = 1e-10;
  return solve(p, Eigen::VectorXd::Zero(p.dof_count), options).loaded;
}

}  // namespace

TEST_CASE("a found aim brings the line of force where it shall pass") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  for (double ankle_x : {-12.0, 0.0, 9.0})
    for (double at : {-8.0, 0.0, 6.5}) {
      CAPTURE(ankle_x, at);
      const Problem p = standing_block(floor, ankle_x, at, 1);
      const Equilibrium state = stand(p);
      REQUIRE(state.converged);
      REQUIRE(state.aim.size() == 1);
      CHECK(std::abs(state.off_line_mm[0]) < 1e-6);
      CHECK(line_of_force(state) == Approx(at).margin(1e-5));
      // Statics: the ankle carries F times the distance from the ankle to the line, by its capped spring.
      const double ankle_now = ankle_x + state.q[0];
      const double u = hold_Nmm * (state.q[5] - state.aim[0]) / cap_Nmm;
      CHECK(cap_Nmm * std::tanh(u) == Approx(-load_N * (at - ankle_now)).margin(1e-3));
      CHECK(state.q[3] == 0);
      CHECK(state.q[4] == 0);
    }
}

TEST_CASE("an aim at the end of its range stays there and says how far off the line is") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  const Problem wide = standing_block(floor, 0, 12, 1);
  const Equilibrium free = stand(wide);
  REQUIRE(free.converged);
  REQUIRE(std::abs(free.off_line_mm[0]) < 1e-6);
  const double range = 0.5 * std::abs(free.aim[0]);
  REQUIRE(range > 1e-3);
  const Equilibrium held = stand(standing_block(floor, 0, 12, range));
  REQUIRE(held.converged);
  CHECK(std::abs(held.aim[0]) <= range);
  CHECK(held.off_line_mm[0] < -1);
  CHECK(line_of_force(held) == Approx(12 + held.off_line_mm[0]).margin(1e-5));
}

TEST_CASE("what settles is balanced as tightly as what was loaded") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  const Problem p = standing_block(floor, 4, -5, 1);
  SolveOptions options;
  options.settle = true;
  options.residual_tolerance = 1e-11;
  const LoadPath path = solve(p, Eigen::VectorXd::Zero(p.dof_count), options);
  REQUIRE(path.loaded.converged);
  REQUIRE(path.settled);
  REQUIRE(path.settled->converged);
  for (const Equilibrium* state : {&path.loaded, &*path.settled}) {
    CHECK(state->force_residual < 2 * options.residual_tolerance);
    CHECK(state->joint_residual < 2 * options.residual_tolerance);
  }
}

TEST_CASE("the same aim given and found is the same balance") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  Problem p = standing_block(floor, 4, -5, 1);
  for (SurfaceContact& contact : p.surfaces) contact.friction = 0;  // with friction the way there matters
  const Equilibrium found = stand(p);
  REQUIRE(found.converged);
  p.steering.clear();
  p.springs[0].tone_target = found.aim[0];
  const Equilibrium given = stand(p);
  REQUIRE(given.converged);
  CHECK((given.q - found.q).norm() < 1e-6);
}

TEST_CASE("a neighbour's path leaves no mark on the answer") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  const Problem p = standing_block(floor, 4, -5, 1);
  SolveOptions options;
  options.residual_tolerance = 1e-10;
  const Eigen::VectorXd start = Eigen::VectorXd::Zero(p.dof_count);
  const LoadPath alone = solve(p, start, options);
  REQUIRE(alone.loaded.converged);
  for (const double ankle_x : {3.7, 4.0, 4.5}) {
    CAPTURE(ankle_x);
    options.beside = std::make_shared<const LoadPath>(solve(standing_block(floor, ankle_x, -4.8, 1), start, {}));
    REQUIRE(options.beside->loaded.converged);
    const LoadPath beside = solve(p, start, options);
    REQUIRE(beside.loaded.converged);
    CHECK((beside.loaded.q - alone.loaded.q).norm() < 1e-4);  // the way there is found to tolerance_on_the_way
    CHECK(line_of_force(beside.loaded) == Approx(-5).margin(1e-5));
  }
  // One that found no seat tells nothing, nor one of other unknowns; without the load, only the seat.
  LoadPath other = *options.beside;
  other.seat.converged = false;
  options.beside = std::make_shared<const LoadPath>(other);
  CHECK(solve(p, start, options).loaded.q == alone.loaded.q);
  other.seat.converged = true;
  other.seat.q.conservativeResize(p.dof_count + 1);
  options.beside = std::make_shared<const LoadPath>(other);
  CHECK(solve(p, start, options).loaded.q == alone.loaded.q);
  other.seat.q.conservativeResize(p.dof_count);
  other.loaded.q.conservativeResize(p.dof_count + 1);
  options.beside = std::make_shared<const LoadPath>(other);
  CHECK((solve(p, start, options).loaded.q - alone.loaded.q).norm() < 1e-4);
  // Nor one whose seat is out of this world: then the seat is looked for from the start.
  other.seat.q[2] += 1e4;
  options.beside = std::make_shared<const LoadPath>(other);
  const LoadPath from_start = solve(p, start, options);
  REQUIRE(from_start.seat.converged);
  CHECK((from_start.loaded.q - alone.loaded.q).norm() < 1e-4);
}

TEST_CASE("a neighbour under another load points the way by the share of it") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  const Problem p = standing_block(floor, 4, -5, 1);
  const Eigen::VectorXd start = Eigen::VectorXd::Zero(p.dof_count);
  for (const double times : {0.8, 1.25}) {
    CAPTURE(times);
    Problem other = p;
    other.load_N *= times;
    other.load.force_N *= times;
    const SolveOptions options;
    const LoadPath path = solve(other, start, options);
    REQUIRE(path.loaded.converged);
    const Beside beside(p, &path);
    // Step by step as its own way goes.
    const double seat = options.seat_load_N / p.load_N, seat_other = options.seat_load_N / other.load_N;
    REQUIRE(path.way.size() == static_cast<std::size_t>(options.load_steps));
    Eigen::VectorXd from = path.seat.q;
    double done = seat;
    for (const Waypoint& point : path.way) {
      const double share = (point.load_N / other.load_N - seat_other) / (1 - seat_other);
      const double target = seat + share * (1 - seat);
      const auto guess = beside.loaded(start, done, target);
      REQUIRE(guess);
      CHECK((guess->q - (point.q - from)).norm() < 1e-12);
      from = point.q, done = target;
    }
    CHECK(!beside.loaded(start, seat, seat + 0.5 * (1 - seat)));
    CHECK(!beside.loaded(start, 0, seat));
  }
}

TEST_CASE("beside a path some steps are only gone along with, the last is balanced") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  const Problem p = standing_block(floor, 4, -5, 1);
  const Eigen::VectorXd start = Eigen::VectorXd::Zero(p.dof_count);
  SolveOptions options, third;
  third.balanced_every = 3;
  const LoadPath alone = solve(p, start, options);
  REQUIRE(alone.loaded.converged);
  CHECK(solve(p, start, third).loaded.q == alone.loaded.q);  // nobody to go along with
  options.beside = third.beside = std::make_shared<const LoadPath>(solve(standing_block(floor, 0, -3, 1), start, {}));
  REQUIRE(options.beside->loaded.converged);
  const LoadPath every = solve(p, start, options), along = solve(p, start, third);
  REQUIRE(along.loaded.converged);
  CHECK(along.way.size() == every.way.size());
  CHECK(along.loaded.iterations < 0.8 * every.loaded.iterations);
  CHECK(along.loaded.force_residual < options.residual_tolerance);
  CHECK(line_of_force(along.loaded) == Approx(-5).margin(1e-5));
  const double moved = (every.loaded.q - options.beside->loaded.q).norm();
  REQUIRE(moved > 0.001);
  CHECK((along.loaded.q - every.loaded.q).norm() < 0.1 * moved);
}

TEST_CASE("tone taken up with the load") {
  JointSpring spring{0, "held"};
  spring.tone_stiffness = 800;
  spring.tone_cap = 90;
  spring.tone_target = 0.1;
  spring.tone_unloaded = 0.25;
  Problem p = rigs::one_link(rigs::free_link(true), Vec3::Zero(), Vec3(0, 0, -1));
  p.load.force_N.setZero();
  spring.dof = 3;
  p.springs = {spring};
  System system(p);
  Eigen::VectorXd q = Eigen::VectorXd::Zero(6), R;
  q[3] = 0.04;
  const double full = 90 * std::tanh(800 * (0.04 - 0.1) / 90);
  for (auto [factor, share] : {std::pair(0.0, 0.25), std::pair(0.5, 0.625), std::pair(1.0, 1.0)}) {
    system.freeze(q);
    system.assemble(q, factor, FrictionMode::none, R, nullptr);
    CHECK(R[3] == Approx(share * full).epsilon(1e-12));
  }
}

TEST_CASE("what is not a number is not balanced") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  const Problem p = standing_block(floor, 4, -5, 1);
  for (int i = 0; i < p.dof_count; ++i) {
    Eigen::VectorXd R = Eigen::VectorXd::Zero(p.dof_count);
    R[i] = std::nan("");
    CHECK_FALSE(scaled_residual(p, R, load_N, {}) < 1e9);
  }
  const LoadPath path = solve(p, Eigen::VectorXd::Constant(p.dof_count, std::nan("")), {});
  CHECK_FALSE(path.loaded.converged);
  CHECK_FALSE(path.loaded.reason.empty());
}

TEST_CASE("further aims are gone to in turn, and without friction undone") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  Problem p = standing_block(floor, 0, 2, 1);
  p.surfaces[0].friction = 0;
  p.further_aims = {{0.5, {0.06}}, {1, {0.06}}, {0, {0.06}}};
  SolveOptions options;
  options.residual_tolerance = 1e-10;
  const LoadPath path = solve(p, Eigen::VectorXd::Zero(p.dof_count), options);
  REQUIRE(path.loaded.converged);
  REQUIRE(path.further.size() == 3);
  const double found = path.loaded.aim[0];
  for (std::size_t k = 0; k < 3; ++k) {
    const Equilibrium& state = path.further[k];
    REQUIRE(state.converged);
    const double aim = found + p.further_aims[k].share * (0.06 - found);
    CHECK(state.aim[0] == Approx(aim).epsilon(1e-12));
    // Statics: the floor's line of force stands off the ankle by the spring's moment over the load.
    const double moment = cap_Nmm * std::tanh(hold_Nmm * (state.q[5] - aim) / cap_Nmm);
    CHECK(std::abs(line_of_force(state)) == Approx(std::abs(moment) / load_N).margin(1e-4));
  }
  CHECK(std::abs(line_of_force(path.further[1]) - line_of_force(path.further[0])) > 1);
  CHECK((path.further[2].q - path.loaded.q).norm() < 1e-5);
}
