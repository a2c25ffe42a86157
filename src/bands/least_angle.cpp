// Factors grow by a row or column as columns enter, so that a whole path costs little more than its last fit.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "least_angle.h"

#include <algorithm>
#include <cmath>

namespace aplomb::bands {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

std::vector<int> least_angle_order(const MatrixXd& X, const VectorXd& y, int most) {
  const Index n = X.rows(), p = X.cols();
  most = static_cast<int>(std::min<Index>({most, p, n - 1}));
  std::vector<int> order;
  std::vector<char> usable(static_cast<std::size_t>(p), 1);
  for (Index j = 0; j < p; ++j) usable[static_cast<std::size_t>(j)] = X.col(j).squaredNorm() > 0.5;
  MatrixXd active(n, most), L = MatrixXd::Zero(most, most);
  VectorXd sign(most), correlation = X.transpose() * y;
  const double start = correlation.cwiseAbs().maxCoeff();
  Index k = 0;
  const auto enter = [&](Index j) {
    usable[static_cast<std::size_t>(j)] = 0;
    const VectorXd cross = active.leftCols(k).transpose() * X.col(j);
    const VectorXd row = L.topLeftCorner(k, k).triangularView<Eigen::Lower>().solve(cross);
    const double pivot = 1 - row.squaredNorm();
    if (pivot < 1e-10) return;  // nothing new beside those that are in
    L.row(k).head(k) = row.transpose();
    L(k, k) = std::sqrt(pivot);
    active.col(k) = X.col(j);
    sign[k] = correlation[j] < 0 ? -1 : 1;
    order.push_back(static_cast<int>(j));
    ++k;
  };
  while (k < most) {
    // The next to enter has the largest correlation; at the end of a step it has drawn level with those that are in.
    double largest = 0;
    Index next = -1;
    for (Index j = 0; j < p; ++j)
      if (usable[static_cast<std::size_t>(j)] && std::abs(correlation[j]) > largest)
        largest = std::abs(correlation[j]), next = j;
    if (next < 0 || largest < 1e-12 * start) break;
    const Index before = k;
    enter(next);
    if (k == before || k == most) continue;
    const auto lower = L.topLeftCorner(k, k).triangularView<Eigen::Lower>();
    VectorXd weight = lower.solve(sign.head(k));
    weight = lower.transpose().solve(weight);
    const double unit = 1 / std::sqrt(sign.head(k).dot(weight));
    const VectorXd direction = active.leftCols(k) * (unit * weight);
    const VectorXd slope = X.transpose() * direction;
    double step = largest / unit;
    for (Index j = 0; j < p; ++j) {
      if (!usable[static_cast<std::size_t>(j)]) continue;
      for (const double s : {1.0, -1.0}) {
        const double down = unit - s * slope[j], level = (largest - s * correlation[j]) / down;
        if (down > 1e-14 && level > 0 && level < step) step = level;
      }
    }
    correlation -= step * slope;
  }
  return order;
}

MatrixXd standardised(const MatrixXd& columns) {
  MatrixXd out = columns.rowwise() - columns.colwise().mean();
  for (Index j = 0; j < out.cols(); ++j) {
    const double norm = out.col(j).norm();
    if (norm > 1e-9)
      out.col(j) /= norm;
    else
      out.col(j).setZero();
  }
  return out;
}

MatrixXd held_out_misses(const MatrixXd& A, const VectorXd& y, const MatrixXd& held_A, const VectorXd& held_y) {
  const Index n = A.rows(), most = A.cols();
  const VectorXd centred = y.array() - y.mean();
  // Columns made orthonormal one by one; what was held out goes through the same steps.
  MatrixXd Q(n, most + 1), held(held_A.rows(), most + 1), miss(held_A.rows(), most + 1);
  Q.col(0).setConstant(1 / std::sqrt(static_cast<double>(n)));
  held.col(0).setConstant(Q(0, 0));
  miss.col(0) = held_y.array() - y.mean();
  for (Index j = 0; j < most; ++j) {
    const Index k = j + 1;
    VectorXd column = A.col(j), across = VectorXd::Zero(k);
    for (int pass = 0; pass < 2; ++pass) {  // once more, for rounding
      const VectorXd more = Q.leftCols(k).transpose() * column;
      column -= Q.leftCols(k) * more;
      across += more;
    }
    const double length = column.norm();
    Q.col(k) = column / length;
    held.col(k) = (held_A.col(j) - held.leftCols(k) * across) / length;
    miss.col(k) = miss.col(j) - held.col(k) * Q.col(k).dot(centred);
  }
  return miss;
}

}  // namespace aplomb::bands
