// Looking ahead along a way: exact where the way is a line or a parabola, silent where it cannot know.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "ahead.h"

#include <catch2/catch.hpp>

using namespace aplomb::contact;

namespace {

Eigen::VectorXd place(double at) { return Eigen::VectorXd::Constant(1, at); }

Problem two_lengths() {
  Problem problem;
  problem.dof_count = 2;
  problem.dof_is_length = {true, true};
  return problem;
}

/// A way with unequal strides: q = a + b s + c s^2, the aim 3 s.
void walk(Ahead& ahead, double c, std::initializer_list<double> at) {
  for (const double s : at) ahead.passed(Eigen::Vector2d(1 + 2 * s + c * s * s, -s), {3 * s}, place(s));
}

}  // namespace

TEST_CASE("a straight way is looked along exactly") {
  const Problem problem = two_lengths();
  Ahead ahead;
  walk(ahead, 0, {0});
  CHECK_FALSE(ahead.at(problem, place(1)));  // one balance points nowhere
  walk(ahead, 0, {0.5});
  const auto guess = ahead.at(problem, place(0.8));
  REQUIRE(guess);
  CHECK(guess->q[0] == Approx(2.6));
  CHECK(guess->q[1] == Approx(-0.8));
  CHECK(guess->aims.at(0) == Approx(2.4));
  CHECK(guess->stride_mm == Approx(0.6));
  CHECK_FALSE(ahead.at(problem, place(0.2)));  // back where it came from
  CHECK_FALSE(ahead.at(problem, place(9)));    // too far
}

TEST_CASE("a way that bends little is followed along its parabola") {
  const Problem problem = two_lengths();
  Ahead ahead;
  walk(ahead, 0.5, {0, 0.4, 1});
  const auto guess = ahead.at(problem, place(1.7));
  REQUIRE(guess);
  CHECK(guess->q[0] == Approx(1 + 3.4 + 0.5 * 1.7 * 1.7));
  CHECK(guess->aims.at(0) == Approx(5.1));
}

TEST_CASE("a way that turned round is looked along straight") {
  const Problem problem = two_lengths();
  Ahead ahead;
  walk(ahead, 0, {0, 1, 0.5});
  const auto guess = ahead.at(problem, place(0.25));
  REQUIRE(guess);
  CHECK(guess->q[0] == Approx(1.5));
}

TEST_CASE("off the line between two places nothing is known") {
  const Problem problem = two_lengths();
  Ahead ahead;
  ahead.passed(Eigen::Vector2d(0, 0), {}, Eigen::Vector2d(0, 0));
  ahead.passed(Eigen::Vector2d(1, 0), {}, Eigen::Vector2d(1, 0));
  CHECK(ahead.at(problem, Eigen::Vector2d(2, 0)));
  CHECK_FALSE(ahead.at(problem, Eigen::Vector2d(2, 0.1)));
}
