// The box's wall as it stands: at rest, moved by what it gives.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "posed.h"

namespace aplomb::findings {

/// BoxSurface::sample() with the gap to the moved wall; the normal is that of the wall at rest.
bool sample_wall(const PosedFoot& rest, const Vec3& x, double band_mm, geometry::SurfaceSample& out);

/// Soon told: sample_wall() would find no smaller gap; about geometry::unknown_gap_mm where it takes that to know.
double wall_gap_at_least(const PosedFoot& rest, const Vec3& x);

/// How far the wall at x has moved, + outward, mm; 0 where it is rigid.
double wall_give_mm(const PosedFoot& rest, const Vec3& x);

}  // namespace aplomb::findings
