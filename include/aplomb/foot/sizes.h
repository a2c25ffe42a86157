// The dimensions of a shaped foot with their slopes by the shape: what fitting and loading solve with.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>

#include "aplomb/foot/measure.h"
#include "aplomb/foot/shape.h"

namespace aplomb::foot {

struct Sizes {
  Eigen::Matrix<double, dimension_count, 1> value;                             ///< mm, deg
  Eigen::Matrix<double, dimension_count, shape_count, Eigen::RowMajor> slope;  ///< d value / d shape
};

/// Dimensions of `body`, which is body_at(model, shape) but for a displacement that does not depend on the shape.
/// The slope is zero when not asked for.
Sizes sizes_of(const ShapeModel& model, const Body& body, const Shape& shape, bool with_slope, double smoothing_mm = 0);

}  // namespace aplomb::foot
