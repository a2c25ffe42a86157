// From shape parameters to the foot that later parts use: unloaded skin, joints, contact points, landmarks.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/foot/foot.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/foot/shape.h"

namespace aplomb::foot {

/// What of the card acts on the foot beside its shape.
struct Build {
  Shape shape = Shape::Zero();               ///< of the standing foot
  std::array<double, toe_count> bend_deg{};  ///< of each toe at its first knuckle beyond the template's
  std::array<double, toe_count> lift_mm{};   ///< of each toe's pad
  std::optional<double> breadth_relaxed_mm;  ///< unloaded breadth; by load_ratios() when not known
  double plantarflexion_deg = 83;  ///< scales the ranges of ankle, midtarsal, naviculocuneiform and TMT joints
};

/// The standing foot's shape with its length, breadths, arch and instep as they are without load.
Shape unloaded_shape(const ShapeModel& model, const Build& build);

/// Fills geometry: skin, joints, contact points, landmarks (of the unloaded foot), length and breadth (standing).
/// The same model and build give the same bits.
Foot build_foot(const ShapeModel& model, const Build& build);

/// The same under the weight of standing on both feet: what is measured and what a picture of the standing foot shows.
Foot standing_foot(const ShapeModel& model, const Build& build);

}  // namespace aplomb::foot
