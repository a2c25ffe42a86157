// What of a scan could be the foot: floor taken away, the rest split into things that hang together.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "aplomb/scan/cloud.h"

namespace aplomb::scan {

/// A flat thing that goes on past what stands on it. In the scan's unit and frame.
struct Floor {
  Vec3 up = Vec3::UnitZ();  ///< towards what stands on it
  double height = 0;        ///< up . p of its points
};

struct CleanScan {
  std::vector<Cloud> parts;  ///< largest first; small crumbs left out
  std::optional<Floor> floor;
  std::size_t crumbs = 0;  ///< points of things too small to be anything
  double bare_share = 0;   ///< of the flattest thing in it: how much of it nothing stands over; 0 where nothing is flat
};

/// A flat thing is a floor when nothing stands over more than this share of it. Holes in the upper side bare a sole
/// too, and a floor may end close round the foot: between the two shares only trying tells.
inline constexpr double surely_floor = 0.3, maybe_floor = 0.08;

/// The same cloud and seed give the same parts.
CleanScan clean(const Cloud& cloud, std::uint64_t seed, double bare_floor = surely_floor);

}  // namespace aplomb::scan
