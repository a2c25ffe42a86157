// CGAL Polygon_mesh_processing: is it closed, outward, free of self-intersection. Slow to compile, so alone in its
// file.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>

#include "aplomb/geometry/exact.h"

namespace aplomb::geometry {

ExactReport examine(const TriMesh& mesh) {
  using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
  namespace pmp = CGAL::Polygon_mesh_processing;
  ExactReport report;
  std::vector<Kernel::Point_3> points;
  for (const Vec3& p : mesh.vertices) points.emplace_back(p.x(), p.y(), p.z());
  std::vector<std::vector<std::size_t>> polygons;
  for (const auto& [a, b, c] : mesh.faces)
    polygons.push_back({static_cast<std::size_t>(a), static_cast<std::size_t>(b), static_cast<std::size_t>(c)});
  if (polygons.empty() || !pmp::is_polygon_soup_a_polygon_mesh(polygons)) return report;
  report.manifold = true;

  CGAL::Surface_mesh<Kernel::Point_3> surface;
  pmp::polygon_soup_to_polygon_mesh(points, polygons, surface);
  report.closed = CGAL::is_closed(surface);
  report.outward = report.closed && pmp::is_outward_oriented(surface);
  std::vector<std::pair<CGAL::SM_Face_index, CGAL::SM_Face_index>> crossings;
  pmp::self_intersections(surface, std::back_inserter(crossings));
  report.self_intersections = static_cast<int>(crossings.size());
  // Faces of the surface are numbered as they were given.
  for (const auto& [a, b] : crossings)
    report.crossing_faces.push_back({static_cast<int>(a.idx()), static_cast<int>(b.idx())});
  if (report.closed) report.volume_mm3 = CGAL::to_double(pmp::volume(surface));
  return report;
}

}  // namespace aplomb::geometry
