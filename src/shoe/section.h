// Smooth convex cross-sections of the box, known by the radius of curvature at each direction of their normal.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "aplomb/geometry/types.h"

namespace aplomb::shoe {

using geometry::Vec2;

/// Directions per section; entry i belongs to the outward normal (cos, sin)(2 pi i / section_directions) in (x, y):
/// 0 dorsal, a quarter medial, a half plantar.
inline constexpr int section_directions = 1024;

struct SectionShape {
  double half_height_mm = 10;   ///< along x
  double half_breadth_mm = 20;  ///< along y
  double dorsal_exponent = 2;   ///< superellipse exponent of each side, 2..10
  double sole_exponent = 2;
};

/// Symmetric about y = 0; extents exactly as asked, centred on them.
struct Section {
  std::vector<double> radius_mm;  ///< of curvature, > 0
  std::vector<Vec2> points;       ///< where the normal has that direction
};

/// Nothing when no smooth convex section has these proportions.
std::optional<Section> make_section(const SectionShape& shape);

}  // namespace aplomb::shoe
