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

/// K(rows[a], column_of(b)) += columns_a . pull_b: what hangs on the unknowns `rows` by `columns` (3 x rows) is pulled
/// by `pull` (3 x any) for each unknown of the others.
template <class Columns, class Pull, class ColumnOf>
void add_products(const std::vector<int>& rows, const Columns& columns, const Pull& pull, ColumnOf column_of,
                  Eigen::MatrixXd& K) {
  const auto n = static_cast<Eigen::Index>(rows.size());
  for (Eigen::Index b = 0; b < pull.cols(); ++b) {
    const Vec3 v = pull.col(b);
    double* column = K.col(column_of(b)).data();
    for (Eigen::Index a = 0; a < n; ++a) column[rows[static_cast<std::size_t>(a)]] += columns.col(a).dot(v);
  }
}

/// Both sides the same unknowns.
template <class Columns, class Pull>
void add_products(const std::vector<int>& rows, const Columns& columns, const Pull& pull, Eigen::MatrixXd& K) {
  add_products(
      rows, columns, pull, [&](Eigen::Index b) { return rows[static_cast<std::size_t>(b)]; }, K);
}

}  // namespace aplomb::contact
