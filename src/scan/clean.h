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
};

/// The same cloud and seed give the same parts.
CleanScan clean(const Cloud& cloud, std::uint64_t seed);

}  // namespace aplomb::scan
