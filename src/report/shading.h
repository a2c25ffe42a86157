// Vertices with normals for drawing: smooth where the surface is smooth, split at its edges.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

#include "aplomb/geometry/types.h"

namespace aplomb::report {

/// As the vertex shader takes it.
struct DrawVertex {
  float position[3];
  float normal[3];
  float pressure_kPa;
};

struct DrawMesh {
  std::vector<DrawVertex> vertices;
  std::vector<std::uint32_t> indices;  ///< three a face
};

/// A corner's normal is the angle-weighted mean over the faces round its vertex that lean less than `crease_deg`
/// against its own face; corners of one vertex that agree share a vertex. Faces without area are left out.
/// `pressure_kPa` is per mesh vertex, or empty for 0. Pre: indices in range.
DrawMesh draw_mesh(const geometry::TriMesh& mesh, const std::vector<double>& pressure_kPa, double crease_deg);

}  // namespace aplomb::report
