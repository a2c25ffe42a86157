// A toe cut into slices along its length: how broad each is free, and how broad it is left.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <vector>

namespace aplomb::findings {

/// One point of a toe's skin, measured along the toe and across it.
struct AcrossPoint {
  double along_mm = 0;
  double across_mm = 0;   ///< of the free skin
  double pressed_mm = 0;  ///< of the same point once pressed
};

/// Extents across of the points of one slice.
struct Slice {
  double free_low_mm = 1e9, free_high_mm = -1e9;
  double low_mm = 1e9, high_mm = -1e9;  ///< pressed
  int points = 0;

  double free_mm() const { return free_high_mm - free_low_mm; }
  double loss_mm() const { return free_mm() - (high_mm - low_mm); }
};

inline constexpr double slice_mm = 3;

/// Slices by their number along the toe (along / slice_mm, rounded down). Those with too few points to have a breadth
/// are left out.
std::map<int, Slice> cut_slices(const std::vector<AcrossPoint>& points);

/// Breadth of a toe, and what it loses of it.
struct ToeBreadth {
  double free_mm = 0;     ///< as a caliper takes it: of the broadest slice
  double squeeze_mm = 0;  ///< largest loss of any slice, >= 0
};
ToeBreadth toe_breadth(const std::map<int, Slice>& slices);

/// How far the pressed skins of two neighbours lie one over the other, across: the largest over the slices that both
/// have, 0 where they lie side by side. `low` is the one at the lower end of the across direction.
double overlap_mm(const std::map<int, Slice>& low, const std::map<int, Slice>& high);

}  // namespace aplomb::findings
