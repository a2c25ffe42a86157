// Slices of a toe and what is read from them.
//
// Why slices, and why the largest loss of any: a box narrows toward the platform, so a toe is pinched over a part of
// its length. The extremes of the whole toe hide that as soon as it stays as broad elsewhere; what hurts, and what a
// fitter means by crowded, is the pinch. The free breadth beside it is the caliper's, at the broadest place, because
// that is the number a card has.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "slices.h"

#include <algorithm>
#include <cmath>

namespace aplomb::findings {

namespace {

/// Skin points lie about 2 mm apart, so a slice right round a toe has some 25; a few are a scrap at the end.
constexpr int fewest_points = 8;
/// The rounded end counts as tip, not as breadth: slices narrower than this share of the broadest.
constexpr double tip_share = 0.6;

double broadest(const std::map<int, Slice>& slices) {
  double most = 0;
  for (const auto& [at, slice] : slices) most = std::max(most, slice.free_mm());
  return most;
}

}  // namespace

std::map<int, Slice> cut_slices(const std::vector<AcrossPoint>& points) {
  std::map<int, Slice> slices;
  for (const AcrossPoint& p : points) {
    Slice& slice = slices[static_cast<int>(std::floor(p.along_mm / slice_mm))];
    slice.free_low_mm = std::min(slice.free_low_mm, p.across_mm);
    slice.free_high_mm = std::max(slice.free_high_mm, p.across_mm);
    slice.low_mm = std::min(slice.low_mm, p.pressed_mm);
    slice.high_mm = std::max(slice.high_mm, p.pressed_mm);
    ++slice.points;
  }
  std::erase_if(slices, [](const auto& entry) { return entry.second.points < fewest_points; });
  return slices;
}

ToeBreadth toe_breadth(const std::map<int, Slice>& slices) {
  ToeBreadth toe;
  toe.free_mm = broadest(slices);
  for (const auto& [at, slice] : slices)
    if (slice.free_mm() >= tip_share * toe.free_mm) toe.squeeze_mm = std::max(toe.squeeze_mm, slice.loss_mm());
  return toe;
}

double overlap_mm(const std::map<int, Slice>& low, const std::map<int, Slice>& high) {
  const double low_breadth = broadest(low), high_breadth = broadest(high);
  double over = 0;
  for (const auto& [at, slice] : low) {
    const auto other = high.find(at);
    if (other == high.end()) continue;
    if (slice.free_mm() < tip_share * low_breadth || other->second.free_mm() < tip_share * high_breadth) continue;
    over = std::max(over, slice.high_mm - other->second.low_mm);
  }
  return over;
}

}  // namespace aplomb::findings
