// The vamp's cloth between stiff cap and throat: pushed out by the foot, drawn in by the drawstring along its edge.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/shoe/box_surface.h"
#include "aplomb/shoe/parameters.h"
#include "aplomb/shoe/wall_give.h"

namespace aplomb::shoe {

/// What acts on the amount a (mm, + outward) of WallGive's shape `vamp`:
///     loose a + drawstring_N + tight [(a - slack) past the slack, (a + drawn) past what can be drawn in].
struct VampSpec {
  double loose_N_per_mm = 0, tight_N_per_mm = 0;
  double slack_mm = 0, drawn_mm = 0;
  double drawstring_N = 0;  ///< inward: the string's tension times what the edge shortens by per mm
};

/// The edge shortens by the integral of (its curvature x the shape) over its length, taken on the section at the
/// throat.
VampSpec make_vamp(const ShoeParameters& parameters, const BoxSurface& box, const WallGive& give);

}  // namespace aplomb::shoe
