// The curved part of the box's inner surface as one parametric patch.
//
//   P(u, v) = flat(u) + outset(v) normal(u) + fast(v) grow1(u) + slow(v) grow2(u) + lean (z - base) e_x,  height z(v)
//
// u runs round the section (period patch_period: 0 dorsal, a quarter turn of arc to medial), v up the profile
// (Profile). All terms belong to one normal direction per u, so sections add as convex bodies do. The splines ARE the
// surface.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "aplomb/geometry/types.h"
#include "profile.h"

namespace aplomb::shoe {

using geometry::Mat3;
using geometry::Vec2;
using geometry::Vec3;

inline constexpr int patch_period = 96;

class WallPatch {
 public:
  /// Nothing when the sections cannot be made convex.
  static std::optional<WallPatch> make(const ShoeParameters& parameters, double end_z);

  struct Jet2 {
    Vec3 p, u, v, uu, uv, vv;  ///< position and its derivatives
  };
  Jet2 at(double u, double v) const;
  Vec3 position(double u, double v) const;

  /// Closest point from a starting guess: a stationary point of the distance, the nearest one when the guess is near
  /// it.
  struct Foot {
    double u = 0, v = 0;
    Jet2 jet;
    bool on_flat = false;  ///< the guess ran over the edge of the flat: the platform is nearer
  };
  Foot project(const Vec3& x, double u, double v) const;

  const Profile& profile() const { return profile_; }
  double base_z() const { return base_z_; }
  double lean() const { return lean_; }

 private:
  PeriodicSpline<8> around_;  ///< flat, normal, grow1, grow2, each (x, y)
  Profile profile_;
  double base_z_ = 0, lean_ = 0;
};

}  // namespace aplomb::shoe
