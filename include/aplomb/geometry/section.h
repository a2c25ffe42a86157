// Cutting a triangle mesh by a plane.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/geometry/types.h"

namespace aplomb::geometry {

struct Polyline {
  std::vector<Vec3> points;  ///< first point not repeated at the end
  bool closed = false;
};

/// Sum of the segments, with the closing one when closed.
double length(const Polyline& line);

/// Where the plane through `point` with `normal` (any length > 0) cuts the mesh. A closed mesh gives closed lines only:
/// a vertex that lies on the plane counts as on the positive side, so no case is special. Each line runs with the solid
/// on its left when looked at against the normal (anticlockwise round a solid). Order: by lowest face index.
std::vector<Polyline> plane_section(const TriMesh& mesh, const Vec3& point, const Vec3& normal);

/// In-plane coordinates (u, v) of the points about `origin`; v = normal x u_axis. `u_axis` is made orthogonal to
/// `normal`. Pre: u_axis not parallel to normal.
std::vector<Vec2> flatten(const std::vector<Vec3>& points, const Vec3& origin, const Vec3& u_axis, const Vec3& normal);

}  // namespace aplomb::geometry
