// From the implicit function to a closed triangle mesh.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>

#include "aplomb/geometry/types.h"

namespace aplomb::template_tool {

using geometry::TriMesh;
using geometry::Vec3;

struct MesherOptions {
  Vec3 inner_point = Vec3::Zero();  ///< inside, near the middle
  double bounding_radius_mm = 200;
  double cut_height_mm = 140;                        ///< the flat cut whose rim is kept as a sharp edge
  double distance_mm = 0.1;                          ///< greatest distance of a facet from the surface
  std::function<double(const Vec3&)> facet_size_mm;  ///< radius of a facet's surface ball
};

/// Delaunay refinement (CGAL Mesh_3) of {f < 0, z < cut}; single-threaded and seeded: the same mesh every time.
TriMesh mesh_implicit(const std::function<double(const Vec3&)>& f, const MesherOptions& options);

/// Evens out the triangles: vertices slide toward the middle of their neighbours and back onto f = 0. Vertices on the
/// cut stay where they are.
void relax(TriMesh& mesh, const std::function<double(const Vec3&)>& f, double cut_height_mm, int rounds);

}  // namespace aplomb::template_tool
