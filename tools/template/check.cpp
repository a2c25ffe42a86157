// CGAL Polygon_mesh_processing in a translation unit of its own.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "check.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>

namespace aplomb::template_tool {

MeshReport check_mesh(const std::vector<geometry::Vec3>& vertices, const std::vector<std::array<int, 3>>& faces) {
  namespace PMP = CGAL::Polygon_mesh_processing;
  using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
  using Mesh = CGAL::Surface_mesh<Kernel::Point_3>;
  MeshReport report;
  std::vector<std::array<std::size_t, 3>> soup;
  for (const auto& f : faces) soup.push_back({static_cast<std::size_t>(f[0]), static_cast<std::size_t>(f[1]), static_cast<std::size_t>(f[2])});
  if (!PMP::is_polygon_soup_a_polygon_mesh(soup)) return report;
  Mesh mesh;
  for (const auto& v : vertices) mesh.add_vertex({v.x(), v.y(), v.z()});
  for (const auto& f : soup) mesh.add_face(Mesh::Vertex_index(static_cast<unsigned>(f[0])), Mesh::Vertex_index(static_cast<unsigned>(f[1])), Mesh::Vertex_index(static_cast<unsigned>(f[2])));
  report.closed = CGAL::is_closed(mesh) && mesh.number_of_faces() == faces.size();
  if (!report.closed) return report;
  report.outward = PMP::is_outward_oriented(mesh);
  report.volume_mm3 = PMP::volume(mesh);
  std::vector<std::pair<Mesh::Face_index, Mesh::Face_index>> pairs;
  PMP::self_intersections(mesh, std::back_inserter(pairs));
  for (const auto& [a, b] : pairs) report.crossing_faces.emplace_back(static_cast<int>(a), static_cast<int>(b));
  return report;
}

}  // namespace aplomb::template_tool
