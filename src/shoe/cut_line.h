// Where the box ends: a height for every direction, as a smooth function of a point in space.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/geometry/types.h"
#include "aplomb/shoe/parameters.h"

namespace aplomb::shoe {

using geometry::Mat3;
using geometry::Vec2;
using geometry::Vec3;

class CutLine {
 public:
  CutLine() = default;
  explicit CutLine(const ShoeParameters& parameters);

  struct Height {
    double z = 0;
    Vec2 gradient = Vec2::Zero();
    Eigen::Matrix2d hessian = Eigen::Matrix2d::Zero();
  };
  Height at(const Vec2& xy) const;
  double z(const Vec2& xy) const;  ///< at(xy).z alone

  struct Cover {
    double value = 1;
    Vec3 gradient = Vec3::Zero();
    Mat3 hessian = Mat3::Zero();
  };
  /// 1 up to the line, C3 to 0 at fade_mm above it.
  Cover cover(const Vec3& x, double fade_mm) const;

  double lowest_z() const;
  double highest_z() const;

 private:
  struct Direction {
    double c, s, r;  // cosine, sine, 1 / softened distance from the axis
  };
  Direction direction(const Vec2& xy) const;

  double centre_x_ = 0, vamp_z_ = 0, wing_mean_z_ = 0, wing_half_difference_ = 0, sole_z_ = 0;
  Throat throat_ = Throat::round;
};

}  // namespace aplomb::shoe
