// Accumulators of one pass over a problem: what is wanted is not null.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/system.h"

namespace aplomb::contact {

struct System::Evaluation {
  double energy = 0;
  Eigen::VectorXd* R = nullptr;
  Eigen::MatrixXd* K = nullptr;
};

/// K(dofs[a], dofs[b]) += columns_a . pull_b: what hangs on the unknowns `dofs` by `columns` (3 x dofs) is pulled by
/// `pull` (3 x dofs) for each of them.
template <class Columns, class Pull>
void add_products(const std::vector<int>& dofs, const Columns& columns, const Pull& pull, Eigen::MatrixXd& K) {
  constexpr int most = Columns::MaxColsAtCompileTime;
  const Eigen::Matrix<double, Eigen::Dynamic, 3, 0, most, 3> in_a_row = columns.transpose();
  Eigen::Matrix<double, Eigen::Dynamic, 1, 0, most, 1> products;
  const auto n = static_cast<Eigen::Index>(dofs.size());
  for (Eigen::Index b = 0; b < n; ++b) {
    products = in_a_row.lazyProduct(pull.col(b));
    double* column = K.col(dofs[static_cast<std::size_t>(b)]).data();
    for (Eigen::Index a = 0; a < n; ++a) column[dofs[static_cast<std::size_t>(a)]] += products[a];
  }
}

}  // namespace aplomb::contact
