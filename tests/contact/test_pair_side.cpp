// Which partners a point of skin could press on, and for how long there are none: against looking at every one.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <set>

#include "aplomb/contact/pair_side.h"
#include "rigs.h"

using namespace aplomb::contact;
using aplomb::geometry::Isometry;
using aplomb::geometry::Vec3;

namespace {

constexpr PartnerReach reach{.across_mm = 4, .along_mm = 5, .between_mm = 0.7};

/// How far over the edge of having weight a partner is; no more than 0: it has some.
double lack_mm(const Vec3& p, const Vec3& n, const Vec3& partner, const Vec3& partner_normal) {
  const Vec3 d = partner - p;
  const double along = d.dot(n), across = (d - along * n).norm();
  return std::max({std::abs(along - reach.between_mm) - reach.along_mm, across - reach.across_mm,
                   turning_arm_mm * partner_normal.dot(n)});
}

/// Two balls side by side, each free to move, with skin all over: as many points as a toe has.
Problem two_toes() {
  Problem problem;
  problem.linkage.links = {rigs::free_link(true), rigs::free_link(true, Vec3(0, 11, 0), 6)};
  problem.linkage.links[1].parent = -1;
  problem.dof_count = problem.linkage.dof_count = 12;
  std::mt19937 random(3);
  std::normal_distribution<double> normal;
  for (int link = 0; link < 2; ++link)
    for (int k = 0; k < 300; ++k) {
      SkinPoint point;
      point.normal_rest = Vec3(normal(random), normal(random), normal(random)).normalized();
      point.position_rest = Vec3(0, 11.0 * link, 0) + (5 + 0.2 * normal(random)) * point.normal_rest;
      point.links = {link, 0, 0, 0};
      problem.points.push_back(point);
    }
  return problem;
}

struct Pair {
  Problem problem = two_toes();
  SkinKinematics skin{problem};
  PairSide a, b;
  Pair() {
    std::vector<int> first(300), second(300);
    for (int k = 0; k < 300; ++k) first[static_cast<std::size_t>(k)] = k, second[static_cast<std::size_t>(k)] = 300 + k;
    a = PairSide(problem.points, first);
    b = PairSide(problem.points, second);
  }
  double move_to(const Eigen::VectorXd& q) {
    skin.pose(q);
    skin.pose_normals();
    const Isometry frame = skin.linkage().T_world_link[0].inverse();
    return a.follow(skin, frame) + b.follow(skin, frame);
  }
};

}  // namespace

TEST_CASE("pair side: the partners found are all that have weight, and hardly others") {
  Pair pair;
  std::mt19937 random(4);
  std::uniform_real_distribution<double> u(-1, 1);
  int found = 0, none = 0;
  for (int k = 0; k < 20; ++k) {
    Eigen::VectorXd q(12);
    for (int i = 0; i < 12; ++i) q[i] = (i % 6 < 3 ? 1.5 : 0.4) * u(random);
    pair.move_to(q);
    for (std::size_t i = 0; i < pair.a.points().size(); ++i) {
      const PairSide::Seen seen = pair.b.look(pair.a.at(i), pair.a.normal(i), reach);
      const std::set<int> told(seen.partners.begin(), seen.partners.end());
      REQUIRE(told.size() == seen.partners.size());
      for (std::size_t j = 0; j < pair.b.points().size(); ++j) {
        const double lack = lack_mm(pair.a.at(i), pair.a.normal(i), pair.b.at(j), pair.b.normal(j));
        if (lack <= 0) REQUIRE(told.count(static_cast<int>(j)) == 1);
        if (lack > 0.02) REQUIRE(told.count(static_cast<int>(j)) == 0);
      }
      told.empty() ? ++none : ++found;
      if (!told.empty()) REQUIRE(seen.clear_mm == 0);
    }
  }
  CHECK(found > 500);
  CHECK(none > 500);
}

TEST_CASE("pair side: while the pair has moved less than was told, there is no partner") {
  const double slides_mm = GENERATE(0.0, 1.0);  // mostly turning, or both
  Pair pair;
  std::mt19937 random(5);
  std::uniform_real_distribution<double> u(-1, 1);
  int told = 0, came = 0;
  const auto nearest_lack = [](const PairSide& from, std::size_t i, const PairSide& onto) {
    double lack = 1e9;
    for (std::size_t j = 0; j < onto.points().size(); ++j)
      lack = std::min(lack, lack_mm(from.at(i), from.normal(i), onto.at(j), onto.normal(j)));
    return lack;
  };
  for (int k = 0; k < 40; ++k) {
    Eigen::VectorXd q(12), to(12);
    for (int i = 0; i < 12; ++i)
      q[i] = (i % 6 < 3 ? 1.5 : 0.4) * u(random), to[i] = (i % 6 < 3 ? slides_mm : 0.15) * u(random);
    pair.move_to(q);
    std::vector<double> clear;
    const auto both = [&](const auto& each) {
      for (std::size_t i = 0; i < 300; ++i) each(i, pair.a, i, pair.b);
      for (std::size_t i = 0; i < 300; ++i) each(300 + i, pair.b, i, pair.a);
    };
    both([&](std::size_t, const PairSide& from, std::size_t i, const PairSide& onto) {
      clear.push_back(onto.look(from.at(i), from.normal(i), reach).clear_mm);
    });
    double travel = 0;
    for (int step = 1; step <= 20; ++step) {
      travel += pair.move_to(q + 0.05 * step * to);
      both([&](std::size_t at, const PairSide& from, std::size_t i, const PairSide& onto) {
        if (clear[at] <= 0) return;
        const double lack = nearest_lack(from, i, onto);
        if (lack <= 0) ++came;
        if (travel >= clear[at]) return;
        ++told;
        REQUIRE(lack > 0);
      });
    }
  }
  CHECK(told > 1000);
  CHECK(came > 100);  // where more was moved some did come
}

TEST_CASE("pair side: the first look is at rest, and what does not move tells so") {
  Pair pair;
  const Eigen::VectorXd q = Eigen::VectorXd::Zero(12);
  CHECK(pair.move_to(q) == 0);
  Eigen::VectorXd moved = q;
  // Both together: in the frame of the first nothing moves.
  moved[0] = moved[6] = 3;
  CHECK(pair.move_to(moved) < 1e-12);
  moved[7] = 0.25;
  CHECK(pair.move_to(moved) == Approx(0.25));
  // A turn of a normal counts as its arm, which is more than what a place five millimetres from the axis moves.
  Eigen::VectorXd turned = moved;
  turned[11] = 0.01;
  CHECK(pair.move_to(turned) == Approx(0.01 * 8).epsilon(0.15));
}

TEST_CASE("pair side: chunks tell which points are near and how far they have moved") {
  Pair pair;
  std::mt19937 random(6);
  std::uniform_real_distribution<double> u(-1, 1);
  Eigen::VectorXd q = Eigen::VectorXd::Zero(12);
  pair.move_to(q);
  int left_out = 0;
  for (int k = 0; k < 20; ++k) {
    const std::vector<Vec3> before = pair.b.places(), normals_before = pair.b.normals();
    for (int i = 0; i < 12; ++i) q[i] += (i % 6 < 3 ? 0.5 : 0.1) * u(random);
    pair.move_to(q);
    const Vec3 p(8 * u(random), 11 + 8 * u(random), 8 * u(random));
    const double mm = 3 + 2 * u(random);
    const unsigned chunks = pair.b.chunks_near(p, mm);
    double most = 0;
    for (std::size_t i = 0; i < pair.b.points().size(); ++i) {
      const bool counts = (chunks >> pair.b.chunk_of(i) & 1u) != 0;
      if ((pair.b.at(i) - p).norm() <= mm) REQUIRE(counts);
      if (!counts) ++left_out;
      const double moved =
          std::max((pair.b.at(i) - before[i]).norm(), turning_arm_mm * (pair.b.normal(i) - normals_before[i]).norm());
      REQUIRE(pair.b.moved_mm(i) == Approx(moved).epsilon(1e-12));
      if (counts) most = std::max(most, moved);
    }
    CHECK(pair.b.moved_mm(chunks) == Approx(most).epsilon(1e-12));
  }
  CHECK(left_out > 500);
}
