// Stiffness of the points that hang on the same links, summed in a small dense matrix before it is spread over the
// whole: a point's products are then of columns that lie in a row.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/contact/skin.h"
#include "aplomb/geometry/give.h"

namespace aplomb::contact {

class ChainSums {
 public:
  using Pull = Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, PointJacobian::max_columns>;
  using PullByShapes = Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, geometry::GiveSample::max_count>;

  /// What hangs by the columns of J is pulled by `pull` for each of its own unknowns.
  void add(const PointJacobian& J, const Pull& pull);
  /// And for each of the unknowns from `first_dof` on. Pre: the same ones until spread().
  void add(const PointJacobian& J, const PullByShapes& pull, int first_dof);
  /// Adds all of it to K and forgets it.
  void spread(Eigen::MatrixXd& K);

 private:
  struct Sum {
    const std::vector<int>* dofs = nullptr;  ///< null: nothing yet
    Eigen::MatrixXd among;
    Eigen::MatrixXd by_shapes;  ///< rows: dofs, columns: from first_dof on
    int first_dof = -1;         ///< -1: nothing yet
  };
  Sum& of(const PointJacobian& J);

  std::vector<Sum> sums_;  ///< by chain
  std::vector<int> used_;
};

}  // namespace aplomb::contact
