// Facts about a triangle mesh: area, volume, bounds, and whether it closes.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/geometry/types.h"

namespace aplomb::geometry {

/// Sum of the triangles' areas, mm^2.
double area(const TriMesh& mesh);

/// Enclosed volume, mm^3: > 0 for a closed mesh wound anticlockwise seen from outside. Means nothing for an open mesh.
double volume(const TriMesh& mesh);

struct Bounds {
  Vec3 min = Vec3::Zero();
  Vec3 max = Vec3::Zero();
};

/// Pre: at least one vertex.
Bounds bounds(const TriMesh& mesh);

/// How the faces hang together, from the index lists alone.
struct Topology {
  int boundary_edges = 0;      ///< edges with one face
  int non_manifold_edges = 0;  ///< edges with more than two faces
  int flipped_edges = 0;       ///< edges whose two faces run along them in the same direction
  int bad_faces = 0;           ///< faces with an index out of range or the same index twice
  int components = 0;          ///< sets of faces that share edges
  int euler = 0;               ///< vertices in use - edges + faces; 2 per closed ball-like component

  bool closed() const { return boundary_edges == 0 && non_manifold_edges == 0 && bad_faces == 0; }
  bool oriented() const { return flipped_edges == 0; }
};

Topology topology(const TriMesh& mesh);

}  // namespace aplomb::geometry
