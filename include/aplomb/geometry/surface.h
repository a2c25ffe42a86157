// What contact needs to know about a surface at rest: the signed gap at a point, twice differentiable.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/geometry/types.h"

namespace aplomb::geometry {

/// The surface seen from one point x.
struct SurfaceSample {
  double gap_mm = 0;              ///< signed distance: > 0 clear of the surface, < 0 overlap; = (x - closest) . normal
  Vec3 normal = Vec3::UnitZ();    ///< d gap / d x, unit length; points to the free side
  Mat3 curvature = Mat3::Zero();  ///< d normal / d x (symmetric, 1/mm)
  double cover = 1;               ///< 0..1: share of the surface present here; fades to 0 past a free edge, C2 in x
  Vec3 cover_gradient = Vec3::Zero();
  Mat3 cover_hessian = Mat3::Zero();
  int zone = 0;  ///< the surface's own label of the closest point; reporting only
  /// Where the closest point to `at` lies in the surface's own coordinates, and how it goes along with `at`. Given back
  /// in `out` with `near` set by a caller whose point has moved by no more than a few millimetres since, it shortens
  /// the next search; the answer is the same.
  Vec3 at = Vec3::Zero();
  Vec2 place = Vec2::Zero();
  Eigen::Matrix<double, 2, 3> place_gradient = Eigen::Matrix<double, 2, 3>::Zero();
  bool near = false;
};

inline constexpr double unknown_gap_mm = -1e9;

/// A surface at rest. Thread-safe: sample() is const and keeps no state.
class Surface {
 public:
  virtual ~Surface() = default;
  /// Fills `out` and returns true when x lies within `band_mm` of the surface or overlaps it and cover > 0; false means
  /// nothing there can touch. An overlap is always reported however deep, as long as the closest point is unique.
  /// When false, no point nearer to x than out.gap_mm touches: a lower bound of the gap, or of the way back from beyond
  /// a free edge; unknown_gap_mm where nothing is known.
  virtual bool sample(const Vec3& x, double band_mm, SurfaceSample& out) const = 0;
  /// Soon told: the gap at x is no less than this, and no point nearer to x by more than that touches; unknown_gap_mm
  /// where it takes sample() to know.
  virtual double gap_at_least(const Vec3&) const { return unknown_gap_mm; }
};

}  // namespace aplomb::geometry
