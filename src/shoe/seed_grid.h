// Coarse tables over space that start the closest-point search and end it early.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "wall_patch.h"

namespace aplomb::shoe {

/// A convex polygon inside the flat of the platform, symmetric about both axes: a quick "certainly over the flat".
/// The wall stands outside it, so that nothing over it is nearer to the wall than to its edge.
class FlatCore {
 public:
  FlatCore() = default;
  explicit FlatCore(const WallPatch& patch);
  double to_edge_mm(const Vec2& xy) const;  ///< a lower bound; < 0 outside

 private:
  static constexpr int sides = 8;
  std::array<Vec2, sides> normal_{};
  std::array<double, sides> offset_{};
};

/// At each node of a regular grid: parameters of the patch's nearest point, and signed distance to platform and patch.
class SeedGrid {
 public:
  struct Seed {
    float u = 0, v = 0;
    float patch_distance = 0;  ///< unsigned, to the patch alone; rounded down
    float gap = 0;             ///< signed, to platform and patch; rounded down
  };

  SeedGrid() = default;
  /// Covers the patch with a margin below and around, up to z = `top_z`.
  SeedGrid(const WallPatch& patch, double top_z);

  struct Start {
    double u = 0, v = 0;        ///< guess for x: the nearest node's, moved along the differences to its neighbours
    double patch_distance = 0;  ///< lower bound of x's distance to the patch
    double gap = 0;             ///< lower bound of x's signed distance to platform and patch
  };
  /// From the node nearest to x (clamped into the grid).
  Start near(const Vec3& x) const;

  /// A closer lower bound of x's signed distance, from all eight nodes round x where it lies among them.
  double gap_at_least(const Vec3& x) const;

  /// The eight nodes round x (clamped into the grid).
  std::array<const Seed*, 8> around(const Vec3& x) const;

 private:
  /// The lowest of the eight nodes round x.
  std::array<int, 3> cell_of(const Vec3& x) const;
  const Seed& at(int i, int j, int k) const {
    return seeds_[i + size_[0] * (j + static_cast<std::size_t>(size_[1]) * k)];
  }
  Vec3 origin_ = Vec3::Zero();
  std::array<int, 3> size_{1, 1, 1};
  std::vector<Seed> seeds_;
};

}  // namespace aplomb::shoe
