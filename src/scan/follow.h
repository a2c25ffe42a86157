// From a placement to the shape that the scan shows: the alignment in all its stages, and what a card says beside it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "aplomb/scan/fit_scan.h"
#include "find_foot.h"
#include "verdict.h"

namespace aplomb::scan {

/// A scan that was found to be about this side's foot, aligned.
struct Aligned {
  Candidate candidate;
  foot::Load load = foot::Load::standing;
  Cloud cloud;  // mm, a right foot's
  AlignEvidence evidence;
  GapSpread spread;
  ShownSizes shown;  // of the scan itself
  std::optional<Ground> ground;
  bool closed = false;   // by a ground in place of a sole
  bool misfits = false;  // beyond what noise explains
  double field_mm = 0;   // SD of the skin off every shape, where it misfits
  double cost = 0;
};

/// The shape followed under a load, as far as the points alone say it; `cost` then compares loads.
Aligned followed_under(foot::Load load, const Candidate& from, const Cloud& cloud, const foot::ShapeModel& model,
                       const foot::Prior& prior, const KnownSizes& card, int threads);

/// What remains: noise and misfit told apart, a ground under it, length and breadth as shown. `all` holds every point
/// of the part, to find its outermost ones; `floor`, where one was taken away, is what a standing foot stands on.
void settle(Aligned& out, const Cloud& all, const foot::ShapeModel& model, const foot::Prior& prior,
            const KnownSizes& card, const std::optional<Ground>& floor, int threads);

/// Of the shape parameters.
Eigen::MatrixXd shape_covariance(const AlignEvidence& evidence);

/// The card's dimensions as the scan's load makes them, those that go with the scan; the others are told.
KnownSizes agreeing(const foot::Card& card, const Aligned& scan, const foot::ShapeModel& model,
                    std::vector<Disagreement>& disagreements);

}  // namespace aplomb::scan
