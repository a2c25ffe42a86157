// Where a picture is taken from: a parallel projection, so that a scale bar holds everywhere in it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>

#include "aplomb/findings/findings.h"
#include "aplomb/geometry/types.h"

namespace aplomb::report {

using geometry::Vec2;
using geometry::Vec3;

/// Box around points, mm.
struct Extent {
  Vec3 low = Vec3::Zero(), high = Vec3::Zero();
};
/// Pre: at least one point.
Extent extent_of(const std::vector<Vec3>& points);
/// Around skin, shell, sole and upper.
Extent extent_of(const findings::Scene& scene);

/// Looks along `forward_S`; `up_S` points up in the picture; both unit and square to each other.
struct Camera {
  Vec3 target_S = Vec3::Zero();  ///< drawn in the middle of the picture
  Vec3 forward_S = -Vec3::UnitX();
  Vec3 up_S = Vec3::UnitZ();
  double mm_per_px = 0.25;
  double width_px = 600, height_px = 800;
  double depth_mm = 1000;  ///< what is nearer or farther than this from the target is not drawn

  Vec3 right_S() const { return forward_S.cross(up_S); }
  /// Pixels from the top left corner, x to the right, y down.
  Vec2 project(const Vec3& p_S) const;
  /// OpenGL clip coordinates of (x, y, z, 1) in S.
  Eigen::Matrix4d clip_S() const;
};

enum class Aspect { front, inner_side, outer_side, below, above };

/// A camera for one of the plain views of a foot in frame S, up the box on top (for below and above: dorsal on top).
/// The inner side is the medial one: + y of a right foot, - y of a left one. Target and scale as they are by default.
Camera camera_for(Aspect aspect, foot::Side side);

/// Centres `extent` in the picture and makes it as large as it goes inside a margin.
Camera fitted(Camera camera, const Extent& extent, double margin_px);

}  // namespace aplomb::report
