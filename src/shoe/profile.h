// The box in profile: the rounded edge from platform to wall, and how the sections grow toward the ball.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/shoe/parameters.h"
#include "spline.h"

namespace aplomb::shoe {

/// How far the fillet reaches, both out along the platform and up the wall, for a smallest radius `radius_mm`.
double fillet_extent(double radius_mm);

/// A value with its first two derivatives.
struct Jet {
  double value = 0, first = 0, second = 0;
};

/// Functions of the profile parameter v >= 0: 0 at the edge of the flat, 1 at the end of the fillet, then up the wall
/// at an even pace in z.
class Profile {
 public:
  Profile() = default;
  /// The surface is wanted up to z = `end_z`.
  Profile(const ShoeParameters& parameters, double end_z);

  struct At {
    Jet outset;      ///< mm outward from the flat's outline along the section normal
    Jet z;           ///< frame S
    Jet fast, slow;  ///< growth of the dimension that grows faster, and of the other: 0 at the platform, 1 at the ball
  };
  At at(double v) const;

  double v_of_z(double z) const;  ///< pre: z at or above the end of the fillet
  double end_v() const { return end_v_; }
  double extent_mm() const { return extent_; }

 private:
  double base_z_ = 0, extent_ = 1, end_v_ = 1;
  SplinePair growth_;  ///< fast, slow
};

}  // namespace aplomb::shoe
