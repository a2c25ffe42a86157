// CGAL AABB tree: closest points and the side of a closed mesh.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Side_of_triangle_mesh.h>
#include <CGAL/Surface_mesh.h>

#include "aplomb/geometry/exact.h"

namespace aplomb::geometry {

namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Mesh = CGAL::Surface_mesh<Kernel::Point_3>;
using Primitive = CGAL::AABB_face_graph_triangle_primitive<Mesh>;
using AabbTree = CGAL::AABB_tree<CGAL::AABB_traits<Kernel, Primitive>>;

Kernel::Point_3 to_cgal(const Vec3& p) { return {p.x(), p.y(), p.z()}; }

Mesh to_cgal(const TriMesh& mesh) {
  Mesh result;
  for (const Vec3& p : mesh.vertices) result.add_vertex(to_cgal(p));
  using Index = Mesh::Vertex_index;
  for (const auto& [a, b, c] : mesh.faces) result.add_face(Index(a), Index(b), Index(c));
  return result;
}

}  // namespace

struct ExactDistance::Tree {
  explicit Tree(const TriMesh& source) : mesh(to_cgal(source)), tree(faces(mesh).first, faces(mesh).second, mesh) {
    tree.accelerate_distance_queries();
    if (CGAL::is_closed(mesh)) side.emplace(tree);
  }
  Mesh mesh;
  AabbTree tree;
  std::optional<CGAL::Side_of_triangle_mesh<Mesh, Kernel, CGAL::Default, AabbTree>> side;
};

ExactDistance::ExactDistance(const TriMesh& mesh) : tree_(std::make_unique<Tree>(mesh)) {}
ExactDistance::~ExactDistance() = default;
ExactDistance::ExactDistance(ExactDistance&&) noexcept = default;
ExactDistance& ExactDistance::operator=(ExactDistance&&) noexcept = default;

Vec3 ExactDistance::closest(const Vec3& point) const {
  const auto p = tree_->tree.closest_point(to_cgal(point));
  return {p.x(), p.y(), p.z()};
}

double ExactDistance::distance(const Vec3& point) const { return (closest(point) - point).norm(); }

int ExactDistance::side(const Vec3& point) const {
  if (!tree_->side) return -1;
  switch ((*tree_->side)(to_cgal(point))) {
    case CGAL::ON_BOUNDED_SIDE:
      return 1;
    case CGAL::ON_BOUNDARY:
      return 0;
    default:
      return -1;
  }
}

}  // namespace aplomb::geometry
