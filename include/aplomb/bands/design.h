// Points that fill a cube evenly: where a model is run to learn how its answer depends on its inputs.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <cstdint>

namespace aplomb::bands {

/// Most inputs that design() is asked for.
inline constexpr int most_inputs = 1000;

/// Halton's points (1960), one prime base a column, their digits shuffled by `seed` (Owen 2017, arXiv 1706.02808):
/// count x inputs, each in (0, 1). Of a column with base b any b^m points in a row that start at a multiple of b^m lie
/// one in each of b^m equal cells; the first points are the same however many are asked for. The same seed gives the
/// same bits. Pre: count >= 1, 1 <= inputs <= most_inputs.
Eigen::MatrixXd design(int count, int inputs, std::uint64_t seed);

/// Standard normal deviate below which a share `u` lies. Pre: 0 < u < 1.
double normal_quantile(double u);

}  // namespace aplomb::bands
