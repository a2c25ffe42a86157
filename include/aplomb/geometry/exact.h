// Second opinion on meshes from CGAL: exact predicates for self-intersection and side, tree search for distance.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <memory>
#include <vector>

#include "aplomb/geometry/types.h"

namespace aplomb::geometry {

/// What CGAL's Polygon_mesh_processing says about a mesh.
struct ExactReport {
  bool manifold = false;  ///< faces form a polygon mesh at all; the rest is false when not
  bool closed = false;
  bool outward = false;                            ///< closed and oriented outward
  int self_intersections = 0;                      ///< pairs of faces that cross or overlap
  std::vector<std::array<int, 2>> crossing_faces;  ///< which
  double volume_mm3 = 0;                           ///< 0 unless closed
};

ExactReport examine(const TriMesh& mesh);

/// The part of it that moving vertices can break, in a quarter of the time. Pre: manifold, all vertices finite.
bool crosses_itself(const TriMesh& mesh);

/// Distance and side by CGAL's AABB tree and Side_of_triangle_mesh. Thread-safe once built.
class ExactDistance {
 public:
  /// Pre: non-empty; closed when side() is to be asked.
  explicit ExactDistance(const TriMesh& mesh);
  ~ExactDistance();
  ExactDistance(ExactDistance&&) noexcept;
  ExactDistance& operator=(ExactDistance&&) noexcept;

  /// Unsigned distance to the mesh.
  double distance(const Vec3& point) const;
  Vec3 closest(const Vec3& point) const;
  /// +1 inside the closed mesh, 0 on it, -1 outside.
  int side(const Vec3& point) const;

 private:
  struct Tree;
  std::unique_ptr<Tree> tree_;
};

}  // namespace aplomb::geometry
