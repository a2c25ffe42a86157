// One thing out of a scan as the foot that it might be: pose, side, unit, shape; and how well that goes.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "align.h"
#include "aplomb/foot/template.h"
#include "aplomb/scan/fit_scan.h"
#include "coarse.h"

namespace aplomb::scan {

/// A thing taken for a foot of one side.
struct Candidate {
  foot::Side side = foot::Side::right;
  double scale = 1;      ///< template mm per unit of the scan; mm of the foot follow with the unit
  double length_mm = 0;  ///< of the foot, in the unit it was fitted with
  Unit unit = Unit::mm;
  Alignment at;
  double score_mm = 1e9;   ///< robust mean distance of the scan's points, far ones cut off
  double unseen_mm = 1e9;  ///< the same of the skin's points below the cut
  double prior_cost = 1e9;
  double outward_share = 0.5;  ///< of the scan's normals; take_orientation()
  bool found = false;
};

/// The cloud of a scan in mm as a right foot's.
Cloud in_mm(const Cloud& raw, double mm_per_unit, bool mirror);

/// Turns normals that point in; normals that do not agree with each other lose their sign.
void take_orientation(Cloud& cloud, double outward_share);

/// Units in which a foot of `raw_length` has a length that feet have; likeliest first.
std::vector<Unit> units_for(double raw_length);

/// The best candidate of each side (right, left), by some 1500 points.
struct BothSides {
  Candidate right, left;
};
BothSides find_foot(const foot::ShapeModel& model, const foot::Prior& prior, const Cloud& cloud,
                    const ScanOptions& options);

}  // namespace aplomb::scan
