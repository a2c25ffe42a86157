// One sum for each chain that something touches by.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/chain_sums.h"

namespace aplomb::contact {

namespace {

using Columns = Eigen::Matrix<double, Eigen::Dynamic, 3, 0, PointJacobian::max_columns, 3>;

}  // namespace

ChainSums::Sum& ChainSums::of(const PointJacobian& J) {
  const auto chain = static_cast<std::size_t>(J.chain);
  if (chain >= sums_.size()) sums_.resize(chain + 1);
  Sum& sum = sums_[chain];
  if (sum.dofs == nullptr) {
    used_.push_back(J.chain);
    sum.dofs = J.dofs;
    sum.among.setZero(J.columns.cols(), J.columns.cols());
  }
  return sum;
}

void ChainSums::add(const PointJacobian& J, const Pull& pull) {
  const Columns columns = J.columns.transpose();
  of(J).among += columns.lazyProduct(pull);
}

void ChainSums::add(const PointJacobian& J, const PullByShapes& pull, int first_dof) {
  Sum& sum = of(J);
  if (sum.first_dof < 0) {
    sum.first_dof = first_dof;
    sum.by_shapes.setZero(J.columns.cols(), pull.cols());
  }
  const Columns columns = J.columns.transpose();
  sum.by_shapes += columns.lazyProduct(pull);
}

void ChainSums::spread(Eigen::MatrixXd& K) {
  for (const int chain : used_) {
    Sum& sum = sums_[static_cast<std::size_t>(chain)];
    const std::vector<int>& dofs = *sum.dofs;
    const auto n = static_cast<Eigen::Index>(dofs.size());
    const auto add_to = [&](int column, const auto& values) {
      for (Eigen::Index a = 0; a < n; ++a) K(dofs[static_cast<std::size_t>(a)], column) += values[a];
    };
    for (Eigen::Index b = 0; b < n; ++b) add_to(dofs[static_cast<std::size_t>(b)], sum.among.col(b));
    if (sum.first_dof >= 0)
      for (Eigen::Index b = 0; b < sum.by_shapes.cols(); ++b)
        add_to(sum.first_dof + static_cast<int>(b), sum.by_shapes.col(b));
    sum.dofs = nullptr;
    sum.first_dof = -1;
  }
  used_.clear();
}

}  // namespace aplomb::contact
