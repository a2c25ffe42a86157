// The linear shape model: how every point of the standing template moves when one dimension of the foot changes.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <memory>

#include "aplomb/foot/foot.h"
#include "aplomb/foot/numbers.h"

namespace aplomb::foot {

/// Shape parameters, counted like the dimensions (Number): parameter k moves dimension k by about one mm or degree at
/// the template's size. Parameter 0 is the logarithm of the scale against the template, which multiplies everything:
///     x = exp(s_0) (x_template + sum_k s_k field_k)
inline constexpr int shape_count = dimension_count;
using Shape = Eigen::Matrix<double, shape_count, 1>;

struct Sites;  // measure.h

/// Points of one standing foot, frame F, mm.
struct Body {
  Eigen::Matrix3Xd skin;       ///< 3 x V
  Eigen::Matrix3Xd joints;     ///< 3 x J: centres
  Eigen::Matrix3Xd landmarks;  ///< 3 x K: in the order of the template's map
};

/// The template with the field of every shape parameter. Fields are smooth, keep the five toes apart as blocks of their
/// own, leave the sole on the floor, the rearmost heel point at the origin and the second toe tip at y = 0 (to first
/// order).
struct ShapeModel {
  Foot mean;  ///< the template
  Body mean_body;
  Eigen::MatrixXd skin;                ///< 3V x shape_count; column 0 is zero
  Eigen::MatrixXd joints, landmarks;   ///< 3J, 3K x shape_count
  Eigen::MatrixXd thickness;           ///< V x shape_count, mm of tissue
  std::shared_ptr<const Sites> sites;  ///< where the template is measured; never null
};

/// Pre: the template has the joints TMT1, MTP1..5, IP1 and the regions of the five toes.
ShapeModel make_shape_model(const Foot& mean);

/// All points at `shape`.
Body body_at(const ShapeModel& model, const Shape& shape);

}  // namespace aplomb::foot
