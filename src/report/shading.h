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
  float hollow_mm;
};

struct DrawMesh {
  std::vector<DrawVertex> vertices;
  std::vector<std::uint32_t> indices;  ///< three a face
};

/// A corner's normal is the angle-weighted mean over the faces round its vertex that lean less than `crease_deg`
/// against its own face; corners of one vertex that agree share a vertex. Faces without area are left out.
/// `pressure_kPa` and `hollow_mm` are per mesh vertex, or empty for 0. Pre: indices in range.
DrawMesh draw_mesh(const geometry::TriMesh& mesh, const std::vector<double>& pressure_kPa,
                   const std::vector<double>& hollow_mm, double crease_deg);

/// How far each vertex lies below (+) or above (-) the skin smoothed over some 4 mm: light reaches hollows less.
std::vector<double> hollows_mm(const geometry::TriMesh& mesh);

}  // namespace aplomb::report
