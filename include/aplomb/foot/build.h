// From shape parameters to the foot that later parts use: unloaded skin, joints, contact points, landmarks.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/foot/card.h"
#include "aplomb/foot/foot.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/foot/shape.h"

namespace aplomb::foot {

/// What of the card acts on the foot beside its shape.
struct Build {
  Shape shape = Shape::Zero();               ///< of the standing foot with its toes straight
  std::array<double, toe_count> bend_deg{};  ///< of each toe at its first knuckle beyond the template's
  std::array<std::optional<double>, toe_count>
      lift_mm;  ///< of each toe's last part above the floor, standing; where not known it lies as the template's does
  std::optional<double> breadth_relaxed_mm;  ///< unloaded breadth; by load_ratios() when not known
  std::optional<double>
      breadth_squeezed_mm;             ///< unloaded, squeezed by hand; less by usual_squeeze_share when not known
  double plantarflexion_deg = 83;      ///< scales the ranges of ankle, midtarsal, naviculocuneiform and TMT joints
  std::vector<double> skin_offset_mm;  ///< of each vertex off the shape model's skin, outward; empty: none
};

/// Share of the breadth of an unloaded foot that a firm hand usually takes: 3.5 of 90 mm (common practice, no source).
/// The template's ranges of ray splay go with it.
inline constexpr double usual_squeeze_share = 3.5 / 90;

/// The shape of the same foot under another load: its dimensions are those of from_standing(). Unloaded, its breadth is
/// build.breadth_relaxed_mm when that is known, and heights count from the floor that heel pad and ball would lie on.
Shape shape_under(const ShapeModel& model, const Build& build, Load load);

/// The shape of the standing foot whose shape without load (by load_ratios() alone) is `unloaded`: shape_under() turned
/// round, within 0.02 mm or so.
Shape standing_shape(const ShapeModel& model, const Shape& unloaded);

/// Without load the floor is a line from under the heel pad, which has sprung back below z = 0, to under the ball: its
/// z in F below each number that is a height, at its place; 0 for the others.
std::array<double, dimension_count> unloaded_floor_z(const ShapeModel& model, double length_mm);

/// How far each skin point of the template (240 mm) lies from its standing place when nothing stands on the heel pad: 3
/// x V.
Eigen::Matrix3Xd unloaded_relief(const ShapeModel& model);

/// The foot under a load, frame F: skin, joints and landmarks with the toes as they lie; all else as build_foot().
Foot foot_under(const ShapeModel& model, const Build& build, Load load);

/// foot_under() without load, which is the rest shape of later parts; length and breadth are of the standing foot.
/// The same model and build give the same bits.
Foot build_foot(const ShapeModel& model, const Build& build);
/// build_foot() with the number of the shape model that makes `dimension` moved, with and without load alike, so that
/// it is `by` more (mm, deg); whatever hangs on it goes with it: with foot_length the whole foot grows. Smooth in `by`.
Foot build_foot_with_more(const ShapeModel& model, const Build& build, int dimension, double by);

/// Points of a foot, for measure().
Body body_of(const Foot& foot);

}  // namespace aplomb::foot
