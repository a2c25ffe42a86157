// Columns held straight by a turning spring, under dead load: the critical load, the branch taken, and tone that gives
// out. Rigid bar of length L on a spring k: P_cr = k / L, and past it k th = P L sin th; two bars with the spring
// between them, ends guided: P_cr = 2 k / L, past it 2 k th = P L sin th (Timoshenko and Gere, Theory of Elastic
// Stability, ch. 2). The side a column falls to is set by an `imperfection`: the spring's target instead of 0; the
// closed forms carry it too.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <boost/math/tools/roots.hpp>
#include <catch2/catch.hpp>
#include <cstdio>

#include "aplomb/contact/system.h"
#include "rigs.h"

using namespace aplomb::contact;
using namespace aplomb::contact::rigs;

namespace {

constexpr double L = 40, k = 1500;

/// A foot pad that slides on its platform, and a bar hinged on it: unknowns z, theta.
struct Column {
  explicit Column(double force_N, double imperfection) : platform(Vec3::Zero(), Vec3::UnitZ()) {
    problem = one_link(lift_link(), Vec3::Zero(), {0, 0, -force_N});
    Link bar{"bar", 0, {{LinkageAxis::Kind::turn, 1, 1, Vec3::UnitY(), {0, 0, 20}}}};
    problem.linkage.links.push_back(bar);
    problem.linkage.dof_count = problem.dof_count = 2;
    problem.dof_is_length = {true, false};
    problem.load.link = 1;
    problem.load.point_rest = {0, 0, 20 + L};
    add_skin(problem, flat(Vec3::Zero(), {10, 0, 0}, {0, 10, 0}, -Vec3::UnitZ(), 5, {1.33, 4}), &platform, 0.35);
    JointSpring spring;
    spring.dof = 1;
    spring.tone_stiffness = k;
    spring.tone_target = imperfection;
    problem.springs.push_back(spring);
  }
  Plane platform;
  Problem problem;
};

LoadPath load(const Problem& problem) {
  SolveOptions options;
  options.seat_load_N = 5;
  options.residual_tolerance = 1e-10;
  return solve(problem, Eigen::Vector2d(-0.1, 0), options);
}

/// Largest root of stiffness (th - imperfection) = moment sin th in (0, pi).
double bent_angle(double stiffness, double moment, double imperfection) {
  const auto f = [=](double th) { return stiffness * (th - imperfection) - moment * std::sin(th); };
  boost::math::tools::eps_tolerance<double> tight(50);
  std::uintmax_t iterations = 200;
  double low = 3.1;  // from above, past the fold there is one root only
  while (f(low) > 0) low -= 1e-3;
  return boost::math::tools::toms748_solve(f, low, low + 1e-3, tight, iterations).first;
}

}  // namespace

TEST_CASE("ladder: a column stands below its critical load and takes the stable bent branch above") {
  const double critical = k / L;
  for (double imperfection : {1e-3, 1e-6}) {
    for (double part : {0.5, 0.9, 1.05, 1.2, 1.6, 2.2}) {
      CAPTURE(imperfection, part);
      const Column column(part * critical, imperfection);
      const LoadPath path = load(column.problem);
      REQUIRE(path.loaded.converged);
      CHECK(path.loaded.stable);
      const double exact = part < 1 ? boost::math::tools::bisect(
                                          [&](double th) { return k * (th - imperfection) - part * k * std::sin(th); },
                                          0.0, 0.1, boost::math::tools::eps_tolerance<double>(50))
                                          .first
                                    : bent_angle(k, part * k, imperfection);
      if (imperfection == 1e-6)
        std::printf("column P/P_cr %.2f: bent by %.6f rad, exact %.6f\n", part, path.loaded.q[1], exact);
      CHECK(path.loaded.q[1] == Approx(exact).epsilon(1e-6));
      if (part < 1) CHECK(path.loaded.q[1] < 20 * imperfection);
      if (part > 1) CHECK(path.loaded.q[1] > 0.5);
    }
  }
}

TEST_CASE("ladder: a perfectly straight column leaves all the same, to one side or the other") {
  const Column below(0.99 * k / L, 0), above(1.05 * k / L, 0);
  CHECK(load(below.problem).loaded.stable);
  CHECK(load(below.problem).loaded.q[1] == 0);
  const LoadPath path = load(above.problem);
  REQUIRE(path.loaded.converged);
  CHECK(path.loaded.stable);
  CHECK(std::abs(path.loaded.q[1]) == Approx(bent_angle(k, 1.05 * k, 0)).epsilon(1e-6));
}

TEST_CASE("ladder: two bars with one spring between them, tied by a ratio") {
  // theta drives the lower bar by +1 and the upper by -2, so that the top stays over the foot; the spring feels 2
  // theta, which is a spring of 4 k on theta. Energy 2 k th^2 + 2 P L cos th: P_cr = 2 k / L, past it 2 k th = P L sin
  // th.
  const double imperfection = 1e-6;
  for (double part : {0.9, 1.1, 1.5}) {
    CAPTURE(part);
    Problem problem;
    problem.linkage.links = {{"lower", -1, {{LinkageAxis::Kind::turn, 0, 1, Vec3::UnitY(), Vec3::Zero()}}},
                             {"upper", 0, {{LinkageAxis::Kind::turn, 0, -2, Vec3::UnitY(), {0, 0, L}}}}};
    problem.linkage.dof_count = problem.dof_count = 1;
    problem.dof_is_length = {false};
    const double P = part * 2 * k / L;
    problem.load = {1, {0, 0, 2 * L}, {0, 0, -P}};
    problem.load_N = P;
    JointSpring spring;
    spring.tone_stiffness = 4 * k;
    spring.tone_target = imperfection;
    problem.springs.push_back(spring);
    SolveOptions options;
    options.residual_tolerance = 1e-10;
    const LoadPath path = solve(problem, Eigen::VectorXd::Zero(1), options);
    REQUIRE(path.loaded.converged);
    CHECK(path.loaded.stable);
    if (part < 1) CHECK(path.loaded.q[0] < 20 * imperfection);
    if (part > 1) CHECK(path.loaded.q[0] == Approx(bent_angle(4 * k, part * 4 * k, imperfection)).epsilon(1e-6));
  }
}

TEST_CASE("ladder: tone never passes its cap, starts as a spring, and comes from an energy") {
  Problem problem = Column(10, 0).problem;
  problem.points.clear();
  problem.surfaces.clear();
  JointSpring& spring = problem.springs[0];
  spring.tone_cap = 400;
  System system(problem);
  Eigen::VectorXd R;
  const auto moment = [&](double angle) {
    system.assemble(Eigen::Vector2d(0, angle), 0, FrictionMode::none, R, nullptr);
    return R[1];
  };
  const auto energy = [&](double angle) { return system.energy(Eigen::Vector2d(0, angle), 0, FrictionMode::none); };
  double last = -401;
  for (double angle = -3; angle <= 3; angle += 0.05) {
    CAPTURE(angle);
    CHECK(std::abs(moment(angle)) <= 400);
    CHECK(moment(angle) >= last);
    last = moment(angle);
    CHECK(moment(angle) == Approx((energy(angle + 1e-5) - energy(angle - 1e-5)) / 2e-5).margin(1e-4));
  }
  CHECK(moment(1e-4) == Approx(1e-4 * k).epsilon(1e-6));
  CHECK(moment(3) > 0.999 * 400);
}

TEST_CASE("ladder: a column whose tone gives out is caught by its passive spring and its stop") {
  for (double stop : {0.6, 1e9}) {
    Column column(1.3 * k / L, 1e-4);
    JointSpring& spring = column.problem.springs[0];
    spring.tone_cap = 300;
    spring.passive_stiffness = 900;
    spring.max = stop;
    spring.limit_stiffness = stop < 1 ? 2e5 : 0;
    const double P = 1.9 * k / L;
    column.problem.load.force_N = {0, 0, -P};
    column.problem.load_N = P;
    const LoadPath path = load(column.problem);
    CAPTURE(stop);
    REQUIRE(path.loaded.converged);
    CHECK(path.loaded.stable);
    const double th = path.loaded.q[1];
    const Jet past = ramp(th - stop, 0.01);  // the stop is felt from .01 rad before it
    const double held =
        900 * th + 300 * std::tanh(k * (th - 1e-4) / 300) + spring.limit_stiffness * past.value * past.first;
    CHECK(P * L * std::sin(th) == Approx(held).epsilon(1e-6));
    CHECK(th > 0.5);
    if (stop < 1) CHECK(th < 0.65);
  }
}
