// The plane that a standing foot rests on, as the scan shows it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "align.h"

namespace aplomb::scan {

/// The plane that the points of the sole rest on: touched from above by three of them round the foot's middle, noise
/// left out. `T_foot_scan` says roughly how the foot stands; `all` may have no normals. Absent where heel or ball show
/// no sole, or where the plane lies farther from z = 0 than a rough fit explains: then nothing is known.
std::optional<Ground> rest_plane(const Cloud& all, const geometry::Isometry& T_foot_scan, double length_mm);

/// Whether `ground` lies near the floor of a rough fit, so that it can be what the foot stands on.
bool near_floor(const Ground& ground, const geometry::Isometry& T_foot_scan);

/// Whether the scan was closed with its own ground, which then is no sole: under the whole midfoot it lies on the
/// floor, where a foot's inner side stands clear. Pre: `T_foot_scan` lays the floor on z = 0.
bool closed_by_ground(const Cloud& all, const geometry::Isometry& T_foot_scan, double length_mm);

/// `cloud` without what lies on the floor between heel and ball. Pre: as above; normals.
Cloud without_ground(const Cloud& cloud, const geometry::Isometry& T_foot_scan, double length_mm);

/// `cloud` without a lid that closes the leg: a flat patch at the top that nothing stands over.
Cloud without_lid(const Cloud& cloud, const geometry::Isometry& T_foot_scan);

}  // namespace aplomb::scan
