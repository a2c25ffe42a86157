// A foot as a sheet shows it: standing, on its toes, and where on it each number is taken.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "aplomb/foot/foot.h"
#include "aplomb/foot/shape.h"
#include "aplomb/geometry/types.h"

namespace aplomb::foot {

/// Where on the standing foot a number is taken.
struct TakenAt {
  enum class Kind {
    span,    ///< two points; the number is their distance along one direction of the foot
    height,  ///< a point on the floor and the point above it
    tape,    ///< a closed loop, drawn taut
    angle    ///< three joint centres: the number is the turn at the middle one, in plan
  };
  int number = 0;  ///< Number
  Kind kind = Kind::span;
  std::vector<Vec3> points_F;
};

/// Frame F, mm; a left foot is mirrored back: a left foot here is a left foot.
struct Portrait {
  Side side = Side::right;
  geometry::TriMesh standing_F;  ///< under half the body weight, toes as they lie
  /// Pointed as far as she can, toes straight, the shin as when standing; lifted until the lowest point is at z = 0.
  geometry::TriMesh pointed_F;
  std::vector<TakenAt> taken;  ///< every dimension once, in the order of Number
  /// On the pointed foot: from the ankle centre along a foot square to the shin, the ankle centre, along the second
  /// ray. The angle at the middle point is the pointing range (the shin upright).
  std::array<Vec3, 3> pointing_F{};
};

/// Pre: the foot was grown from this model. Positions come from the derivatives of measure(), so they are where the
/// number is taken whatever the foot's shape.
Portrait make_portrait(const ShapeModel& model, const Foot& foot);

/// The mean foot of the model, as a right foot.
Portrait make_portrait(const ShapeModel& model);

}  // namespace aplomb::foot
