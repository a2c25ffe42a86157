// The 5 to 95 % band of one answer, with the evidence that it rests on.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <vector>

#include "aplomb/bands/chaos.h"

namespace aplomb::bands {

/// An expansion that predicts left-out runs worse than this is not used.
inline constexpr double least_q2 = 0.95;

struct Band {
  double low = 0, median = 0, high = 0;  ///< 5, 50, 95 %
  bool by_chaos = false;                 ///< else by the runs themselves, in order
  double q2 = 0;                         ///< of the expansion, used or not
  /// One standard error of low and high. Of plain quantiles by order statistics (half the way between the runs one
  /// standard deviation of the binomial rank below and above); of an expansion what its misfit of left-out runs allows,
  /// sqrt(1 - Q2) standard deviations of the answer over the root of the number of runs.
  double low_error = 0, high_error = 0;
};

/// Quantile of sorted values, linear between the middles of their steps (Hazen). Pre: not empty, rising.
double quantile(const Eigen::VectorXd& sorted, double share);

/// By the runs alone. Pre: not empty.
Band plain_band(const Eigen::VectorXd& answers);

/// By the expansion over `many` inputs drawn by their laws. What it leaves unexplained is put back: to each value the
/// misfit of a left-out run is added, in turn, so that a band is not too narrow by it. Falls back to plain_band() below
/// least_q2.
Band band_of(const Chaos& chaos, const Eigen::VectorXd& answers, const ChaosInputs& many);

}  // namespace aplomb::bands
