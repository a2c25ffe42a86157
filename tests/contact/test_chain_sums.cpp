// Stiffness summed by the links that points hang on, against each point's own products.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include "aplomb/contact/chain_sums.h"

using namespace aplomb::contact;

TEST_CASE("chain sums: what is spread is each point's own products, and nothing of it is left") {
  constexpr int unknowns = 20, shapes = 5, first_dof = 15;
  const std::vector<std::vector<int>> dofs{{3, 0, 7, 11}, {1, 2, 3}, {14, 9, 0, 3, 5}};
  ChainSums sums;
  std::srand(5);
  for (int round = 0; round < 3; ++round) {
    Eigen::MatrixXd K = Eigen::MatrixXd::Random(unknowns, unknowns), expected = K;
    for (int k = 0; k < 30; ++k) {
      PointJacobian J;
      J.chain = (k * k + round) % 3;  // in no order
      J.dofs = &dofs[static_cast<std::size_t>(J.chain)];
      const auto n = static_cast<Eigen::Index>(J.dofs->size());
      J.columns.setRandom(3, n);
      ChainSums::Pull pull = ChainSums::Pull::Random(3, n);
      ChainSums::PullByShapes by_shapes = ChainSums::PullByShapes::Random(3, shapes);
      sums.add(J, pull);
      const bool gives = round != 1 && k % 4 != 0;  // some points do not feel what gives
      if (gives) sums.add(J, by_shapes, first_dof);
      for (Eigen::Index a = 0; a < n; ++a) {
        const int row = (*J.dofs)[static_cast<std::size_t>(a)];
        for (Eigen::Index b = 0; b < n; ++b)
          expected(row, (*J.dofs)[static_cast<std::size_t>(b)]) += J.columns.col(a).dot(pull.col(b));
        for (int s = 0; s < shapes && gives; ++s)
          expected(row, first_dof + s) += J.columns.col(a).dot(by_shapes.col(s));
      }
    }
    sums.spread(K);
    CHECK((K - expected).lpNorm<Eigen::Infinity>() < 1e-13);
    CHECK(K.row(4).isApprox(expected.row(4), 0));  // nobody hangs on it
    const Eigen::MatrixXd before = K;
    sums.spread(K);
    CHECK(K == before);
  }
}
