// What a scan leaves open of a foot's dimensions where its skin is moved off the shape: shape and field of the skin as
// one Gaussian.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>

#include "free_form.h"

namespace aplomb::scan {

/// d dimension / d offset of the skin along its direction, V x dimensions. `skin`: with its offsets, leg straight, on
/// `body`. `sizes`: the dimensions there, with their slopes by the shape.
Eigen::MatrixXd slope_by_offset(const foot::ShapeModel& model, const foot::Shape& shape, const Eigen::Matrix3Xd& skin,
                                const foot::Body& body, const Eigen::Matrix3Xd& direction, foot::Sizes& sizes);

/// Covariance of the shape that gives the dimensions the doubt that shape and field together leave:
/// where the scan shows skin, the field makes up for a change of the shape, and little is left of either; where it
/// shows none, both are open. `sizes`: dimensions with their slopes by the shape.
Eigen::MatrixXd covariance_with_field(const Eigen::MatrixXd& shape_covariance, const foot::Sizes& sizes,
                                      const FieldDoubt& field, const Eigen::MatrixXd& skin_by_shape,
                                      const KnownSizes& shown);

}  // namespace aplomb::scan
