// Is a mesh closed, outward and free of self-intersection?
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <utility>
#include <vector>

#include "aplomb/geometry/types.h"

namespace aplomb::template_tool {

struct MeshReport {
  bool closed = false;        ///< a closed 2-manifold
  bool outward = false;       ///< wound anticlockwise seen from outside
  double volume_mm3 = 0;
  std::vector<std::pair<int, int>> crossing_faces;   ///< pairs of faces that cross or touch beyond a shared edge or corner
};

MeshReport check_mesh(const std::vector<geometry::Vec3>& vertices, const std::vector<std::array<int, 3>>& faces);

}  // namespace aplomb::template_tool
