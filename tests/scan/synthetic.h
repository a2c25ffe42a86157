// Scans of feet that are known: the template at a random shape, sampled, spoiled and turned.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

#include "aplomb/foot/card.h"
#include "aplomb/foot/foot.h"
#include "aplomb/geometry/types.h"
#include "aplomb/scan/fit_scan.h"

namespace aplomb::scan::testing {

struct Recipe {
  std::uint64_t seed = 1;
  std::size_t points = 20000;
  double noise_mm = 0;
  double missing = 0;  ///< share of the surface in holes
  bool sole = true;
  double cut_mm = 100;  ///< height of the leg over the floor
  Unit unit = Unit::mm;
  foot::Side side = foot::Side::right;
  foot::Load load = foot::Load::standing;
  bool mesh = false;     ///< triangles, not points alone
  bool flipped = false;  ///< all faces turned inside out
  bool floor = false, second_foot = false;
  bool turned = true;
  double lumps_mm = 0;  ///< SD of skin off every shape of the model, over some 25 mm
};

/// What a scanner would have given, and what it was given from.
struct Synthetic {
  RawScan scan;
  foot::Foot truth;                                                 ///< rest shape
  foot::Foot as_scanned;                                            ///< frame F, mm, a right foot
  std::vector<bool> seen;                                           ///< by vertex of the template
  geometry::Isometry T_scan_foot = geometry::Isometry::Identity();  ///< before the unit, after mirroring
};
Synthetic make_synthetic(const Recipe& recipe);

/// The recipe of a seed: everything drawn from the ranges that a scan can come in.
Recipe drawn_recipe(std::uint64_t seed);

}  // namespace aplomb::scan::testing
