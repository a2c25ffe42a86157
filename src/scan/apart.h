// Two things side by side that points alone would join: told apart where a plane goes between them.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <utility>

#include "aplomb/scan/cloud.h"

namespace aplomb::scan {

/// The two things, the one with more points first, when a plane with an empty slab of `gap_share` of the extent round
/// it leaves at least a fifth of the points on either side. What hangs together casts a shadow without gaps on any
/// line, so such a slab is proof that it is two; the other way round it is not.
std::optional<std::pair<Cloud, Cloud>> apart(const Cloud& cloud);

}  // namespace aplomb::scan
