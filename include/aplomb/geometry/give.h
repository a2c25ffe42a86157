// How a surface moves when it gives: a sum of fixed shapes, each with an amount.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <limits>

#include "aplomb/geometry/types.h"

namespace aplomb::geometry {

/// All shapes at one point. The surface there has moved by `amounts . value` mm AWAY from its free side (outward), so
/// the gap has grown by as much.
struct GiveSample {
  static constexpr int max_count = 24;
  Eigen::Matrix<double, Eigen::Dynamic, 1, 0, max_count, 1> value;     ///< one per shape, mm per unit amount
  Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, max_count> gradient;  ///< d value / d x
  Mat3 hessian = Mat3::Zero();                                         ///< of amounts . value
};

/// Shapes as smooth (C2) functions of space near the surface. Small displacements along the normal: a point at the
/// distance g from the surface at rest stands g + w from the moved one with an error of |grad w|^2 (g + w) / 2.
class GiveShapes {
 public:
  virtual ~GiveShapes() = default;
  virtual int count() const = 0;  ///< at most GiveSample::max_count
  /// False where nothing moves; `out` is then not set. Pre: amounts.size() == count().
  virtual bool sample(const Vec3& x, const Eigen::VectorXd& amounts, GiveSample& out) const = 0;
  /// amounts . value alone, mm; 0 where nothing moves.
  virtual double moved_mm(const Vec3& x, const Eigen::VectorXd& amounts) const;
  /// No point moves further than this, mm.
  virtual double bound(const Eigen::VectorXd& amounts) const = 0;
  /// Within radius_mm of x, | grad (amounts . value) | is nowhere larger than this. Infinite where nobody knows.
  virtual double steepest(const Eigen::VectorXd& amounts, const Vec3& x, double radius_mm) const;
};

inline double GiveShapes::moved_mm(const Vec3& x, const Eigen::VectorXd& amounts) const {
  GiveSample here;
  return sample(x, amounts, here) ? here.value.dot(amounts) : 0;
}

inline double GiveShapes::steepest(const Eigen::VectorXd&, const Vec3&, double) const {
  return std::numeric_limits<double>::infinity();
}

}  // namespace aplomb::geometry
