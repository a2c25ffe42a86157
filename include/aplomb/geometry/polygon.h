// Plane polygons: hull, perimeter, area, signed distance.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/geometry/types.h"

namespace aplomb::geometry {

/// Corners in order, first not repeated at the end.
using Polygon = std::vector<Vec2>;

/// Corners of the smallest convex polygon round the points, anticlockwise, no three in line. Fewer than three distinct
/// points come back as they are (sorted).
Polygon convex_hull(std::vector<Vec2> points);

double perimeter(const Polygon& polygon);

/// Length of a tape drawn taut round the points.
double hull_perimeter(const std::vector<Vec2>& points);

/// > 0 when anticlockwise.
double signed_area(const Polygon& polygon);

struct PolygonDistance {
  double distance_mm = 0;       ///< > 0 inside, < 0 outside
  Vec2 closest = Vec2::Zero();  ///< nearest point of the outline
};

/// Signed distance to the outline, + inside. Pre: at least three corners, not crossing itself; either winding.
PolygonDistance distance_to(const Polygon& polygon, const Vec2& point);

}  // namespace aplomb::geometry
