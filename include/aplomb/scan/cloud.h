// What a fit needs of a scan: points spread evenly over what was seen, with the surface's direction at each.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

#include "aplomb/geometry/nearest.h"
#include "aplomb/geometry/types.h"

namespace aplomb::scan {

using geometry::Vec3;

/// Points in one unit and frame.
struct Cloud {
  std::vector<Vec3> points;
  std::vector<Vec3> normals;  ///< unit length, one for each point; the sign means something only when oriented
  bool oriented = false;      ///< the normals agree with each other which side is out (or all point in)
};

/// `count` points of the triangles by area, with the corners of a mesh that has few; or at most `count` of the vertices
/// when there are no faces. Normals of the faces, none from vertices alone. The same mesh and seed give the same
/// points. Pre: finite vertices, faces within range.
Cloud sample(const geometry::TriMesh& mesh, std::size_t count, std::uint64_t seed);

/// At most about `count` points, one to a cell of a grid as fine as that asks: evenly spread however the scan was
/// taken. Indices into `points`, ascending.
std::vector<int> spread(const std::vector<Vec3>& points, std::size_t count);

/// Normals of `cloud.points[at[i]]` from the plane through the `neighbours` nearest of all its points, sign as the
/// cloud's own normals say (when it has any). Noise of single points averages out.
Cloud with_plane_normals(const Cloud& cloud, const geometry::NearestPoints& tree, const std::vector<int>& at,
                         int neighbours);

/// Median distance from a point to its nearest neighbour. Pre: two points or more.
double typical_spacing(const std::vector<Vec3>& points, const geometry::NearestPoints& tree);

}  // namespace aplomb::scan
