// Forces and stiffness summed by links, against each point's own Jacobian.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include "aplomb/contact/link_sums.h"
#include "branching.h"

using namespace aplomb::contact;

namespace {

constexpr int unknowns = 22, shapes = 5, first_dof = 16;

/// Points on one link, on several of one branch, on both branches, on the root that is apart.
Problem branching_skin() {
  Problem problem;
  problem.linkage = test::branching();
  problem.dof_count = unknowns;
  const std::vector<std::pair<std::array<int, 4>, std::array<double, 4>>> hangs{
      {{4, 0, 0, 0}, {1, 0, 0, 0}},     {{3, 4, 0, 0}, {0.3, 0.7, 0, 0}},     {{2, 3, 4, 0}, {0.2, 0.5, 0.3, 0}},
      {{4, 6, 0, 0}, {0.4, 0.6, 0, 0}}, {{1, 2, 5, 4}, {0.1, 0.2, 0.3, 0.4}}, {{0, 0, 0, 0}, {1, 0, 0, 0}},
      {{7, 0, 0, 0}, {1, 0, 0, 0}},     {{7, 4, 0, 0}, {0.5, 0.5, 0, 0}},     {{6, 0, 0, 0}, {1, 0, 0, 0}},
      {{4, 3, 0, 0}, {0.7, 0.3, 0, 0}}};
  for (int k = 0; k < 40; ++k) {
    SkinPoint point;
    std::tie(point.links, point.weights) = hangs[static_cast<std::size_t>(k * k + k / 10) % hangs.size()];
    point.position_rest = 50 * Vec3::Random();
    point.normal_rest = Vec3::Random().normalized();
    problem.points.push_back(point);
  }
  return problem;
}

}  // namespace

TEST_CASE("link sums: what is spread is what each point's own Jacobian says, and nothing of it is left") {
  std::srand(5);
  const Problem problem = branching_skin();
  SkinKinematics skin(problem);
  LinkSums sums;
  for (int round = 0; round < 4; ++round) {
    skin.pose(0.5 * Eigen::VectorXd::Random(unknowns));
    Eigen::MatrixXd K = Eigen::MatrixXd::Random(unknowns, unknowns), expected_K = K;
    Eigen::VectorXd R = Eigen::VectorXd::Random(unknowns), expected_R = R;
    const bool stiff = round != 3;
    for (int i = 0; i < 40; i += 1 + round) {
      PointJacobian J;
      skin.jacobian(i, J);
      Eigen::Matrix3Xd full = Eigen::Matrix3Xd::Zero(3, unknowns);
      for (std::size_t a = 0; a < J.dofs->size(); ++a)
        full.col((*J.dofs)[a]) = J.columns.col(static_cast<Eigen::Index>(a));
      FacingGradient turning;
      const Vec3 direction = Vec3::Random().normalized();
      skin.facing_gradient(i, direction, turning);
      Eigen::RowVectorXd full_row = Eigen::RowVectorXd::Zero(unknowns);
      for (std::size_t a = 0; a < J.dofs->size(); ++a) full_row[(*J.dofs)[a]] = turning[static_cast<Eigen::Index>(a)];

      Hanging at;
      skin.hanging(i, at);
      const Vec3 force = Vec3::Random();
      sums.add_force(at, force);
      expected_R -= full.transpose() * force;
      if (!stiff) continue;
      const Mat3 D = Mat3::Random();
      LinkSums::Columns pull;
      pull_of(D, at, pull);
      // As areas follow: a force for each change of a row.
      LinkSums::Row row, turned(pull.cols());
      const Vec3 along = Vec3::Random(), per_row = Vec3::Random();
      row_of(at, along, row);
      skin.facing_row(i, direction, turned);
      row += turned;
      const Eigen::RowVectorXd whole_row = full_row + along.transpose() * full;
      pull -= per_row * row.transpose();
      sums.add(at, pull);
      expected_K += full.transpose() * (D * full - per_row * whole_row);
      if (round == 1 || i % 4 == 0) continue;  // some points do not feel what gives
      const LinkSums::OfShapes felt = LinkSums::OfShapes::Random(shapes, 3),
                               given = LinkSums::OfShapes::Random(shapes, 3);
      const LinkSums::Shapes phi = LinkSums::Shapes::Random(shapes), psi = LinkSums::Shapes::Random(shapes);
      sums.add_among(first_dof, phi, psi);
      sums.add(at, first_dof, felt, given, phi, row);
      expected_K.block(0, first_dof, unknowns, shapes) += full.transpose() * felt.transpose();
      expected_K.block(first_dof, 0, shapes, unknowns) += given * full - phi * whole_row;
      expected_K.block(first_dof, first_dof, shapes, shapes) += phi * psi.transpose();
    }
    sums.spread(skin, R, stiff ? &K : nullptr);
    CHECK((R - expected_R).lpNorm<Eigen::Infinity>() < 1e-11);
    CHECK((K - expected_K).lpNorm<Eigen::Infinity>() < 1e-9);
    CHECK(K.row(13).isApprox(expected_K.row(13), 0));  // nothing hangs on it
    const Eigen::MatrixXd K_before = K;
    const Eigen::VectorXd R_before = R;
    sums.spread(skin, R, &K);
    CHECK(K == K_before);
    CHECK(R == R_before);
  }
}
