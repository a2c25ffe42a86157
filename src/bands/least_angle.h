// Which columns explain an answer, in the order in which least angle regression takes them in, and what the first k of
// them say of runs that were held out.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <vector>

namespace aplomb::bands {

/// Order in which the columns of `X` enter (Efron, Hastie, Johnstone, Tibshirani 2004), at most `most`. Columns of X
/// have mean 0 and norm 1, or are all zero (never taken); `y` has mean 0. Each column adds something to those before.
std::vector<int> least_angle_order(const Eigen::MatrixXd& X, const Eigen::VectorXd& y, int most);

/// Columns with mean 0 and norm 1; zero where they are constant.
Eigen::MatrixXd standardised(const Eigen::MatrixXd& columns);

/// For k = 0 .. order.size(): least squares on the constant and the first k columns of the order, and by how much it
/// misses runs that it has not seen: held-out runs x (k + 1). `A` and `held_A` hold the columns in the order.
Eigen::MatrixXd held_out_misses(const Eigen::MatrixXd& A, const Eigen::VectorXd& y, const Eigen::MatrixXd& held_A,
                                const Eigen::VectorXd& held_y);

}  // namespace aplomb::bands
