// Measuring a foot again, from its mesh and skeleton, by other means than the fit's: CGAL's plane sections and convex
// hulls. Shares no code with src/foot/measure.cpp.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

#include "aplomb/foot/foot.h"
#include "aplomb/foot/numbers.h"

namespace aplomb::foot::testing {

/// What calipers and tape find on a foot as it lies.
struct Remeasured {
  std::array<double, dimension_count> dimension{};              ///< order of Number, mm or deg
  std::array<double, toe_count> lift_mm{};                      ///< lowest skin of the toe's last part above the floor
  std::array<double, toe_count> knuckle_bend_deg{};             ///< turn at the first knuckle, skeleton, + down
  double navicular_off_skin_mm = 0, malleolus_off_skin_mm = 0;  ///< how far the two landmarks lie off the skin
};

/// Lengths and breadths in the sense of ISO 7250-1, girths in that of ISO 8559-1, along and across F's x axis. Heights
/// are taken from the floor that the heel and the ball lie on.
Remeasured remeasure(const Foot& foot);

}  // namespace aplomb::foot::testing
