// Cuts through foot and shoe: outlines as they stand, and the plane in which they are drawn.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/geometry/section.h"
#include "document.h"

namespace aplomb::viewer {

struct Slice {
  std::vector<geometry::Polyline> skin, shell, sole, upper;
  geometry::Vec3 origin = geometry::Vec3::Zero(), normal = geometry::Vec3::UnitZ();
  geometry::Vec3 right = geometry::Vec3::UnitX(), up = geometry::Vec3::UnitY();  ///< of the drawing
  double low_mm = 0, high_mm = 1;                                                ///< where the plane may stand
};

/// Across: level, at a height over the floor. Along: upright, from front to back, `at_mm` to the inner side of the
/// middle. Tilted about the middle: across + lifts the front edge, along + turns the front edge to the inner side. Pre:
/// axis is not none.
/// The plane alone, without outlines.
Slice plane_of(const findings::Scene& scene, SliceAxis axis, double at_mm, double tilt_deg = 0);
Slice cut(const findings::Scene& scene, SliceAxis axis, double at_mm, double tilt_deg = 0);
inline constexpr double most_tilt_deg = 60;

}  // namespace aplomb::viewer
