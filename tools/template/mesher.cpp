// CGAL Mesh_3 in a translation unit of its own: it takes a minute to compile.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "mesher.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Labeled_mesh_domain_3.h>
#include <CGAL/Mesh_complex_3_in_triangulation_3.h>
#include <CGAL/Mesh_criteria_3.h>
#include <CGAL/Mesh_domain_with_polyline_features_3.h>
#include <CGAL/Mesh_triangulation_3.h>
#include <CGAL/Random.h>
#include <CGAL/make_mesh_3.h>

#include <cmath>
#include <map>

namespace aplomb::template_tool {

namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Point = Kernel::Point_3;
using Domain = CGAL::Mesh_domain_with_polyline_features_3<CGAL::Labeled_mesh_domain_3<Kernel>>;
using Triangulation = CGAL::Mesh_triangulation_3<Domain>::type;
using Complex = CGAL::Mesh_complex_3_in_triangulation_3<Triangulation, Domain::Corner_index, Domain::Curve_index>;
using Criteria = CGAL::Mesh_criteria_3<Triangulation>;

/// Facet sizes as CGAL wants them.
struct FacetSize {
  using FT = Kernel::FT;
  using Index = Domain::Index;
  const std::function<double(const Vec3&)>* size;
  FT operator()(const Point& p, int, const Index&) const { return (*size)({p.x(), p.y(), p.z()}); }
};

/// The rim of the cut: the outline is star-shaped about `centre`, so one root per ray.
std::vector<Point> rim(const std::function<double(const Vec3&)>& f, const Vec3& centre, double height) {
  std::vector<Point> line;
  constexpr int rays = 240;
  for (int i = 0; i < rays; ++i) {
    const double angle = 2 * geometry::pi * i / rays;
    const Vec3 ray(std::cos(angle), std::sin(angle), 0), from(centre.x(), centre.y(), height);
    double low = 0, high = 90;
    for (int step = 0; step < 60; ++step) {
      const double middle = (low + high) / 2;
      (f(from + middle * ray) < 0 ? low : high) = middle;
    }
    const Vec3 p = from + low * ray;
    line.emplace_back(p.x(), p.y(), p.z());
  }
  line.push_back(line.front());
  return line;
}

TriMesh boundary(const Complex& complex) {
  TriMesh mesh;
  std::map<Triangulation::Vertex_handle, int> number;
  const auto vertex = [&](Triangulation::Vertex_handle v) {
    const auto [at, fresh] = number.try_emplace(v, static_cast<int>(mesh.vertices.size()));
    if (fresh) mesh.vertices.emplace_back(v->point().x(), v->point().y(), v->point().z());
    return at->second;
  };
  // Cells are walked in the triangulation's own order, which does not depend on addresses.
  const Triangulation& tr = complex.triangulation();
  for (auto cell = tr.finite_cells_begin(); cell != tr.finite_cells_end(); ++cell) {
    if (!complex.is_in_complex(cell)) continue;
    for (int i = 0; i < 4; ++i) {
      if (complex.is_in_complex(cell->neighbor(i))) continue;
      // vertex_triple_index orders the facet opposite i anticlockwise seen from the far vertex, which is inside.
      std::array<int, 3> face{};
      for (int j = 0; j < 3; ++j)
        face[static_cast<std::size_t>(j)] = vertex(cell->vertex(Triangulation::vertex_triple_index(i, j)));
      std::swap(face[1], face[2]);
      mesh.faces.push_back(face);
    }
  }
  return mesh;
}

}  // namespace

TriMesh mesh_implicit(const std::function<double(const Vec3&)>& f, const MesherOptions& options) {
  CGAL::get_default_random() = CGAL::Random(1);
  CGAL::Random random(1);
  const Vec3& c = options.inner_point;
  const auto inside = [&](const Point& p) { return std::max(f({p.x(), p.y(), p.z()}), p.z() - options.cut_height_mm); };
  const Kernel::Sphere_3 bounds(Point(c.x(), c.y(), c.z()), options.bounding_radius_mm * options.bounding_radius_mm);
  Domain domain = Domain::create_implicit_mesh_domain(inside, bounds, CGAL::parameters::relative_error_bound = 1e-6,
                                                      CGAL::parameters::p_rng = &random);
  std::vector<std::vector<Point>> features{rim(f, {50, 0, 0}, options.cut_height_mm)};
  domain.add_features(features.begin(), features.end());
  const FacetSize size{&options.facet_size_mm};
  const Criteria criteria(CGAL::parameters::edge_size = 4.0, CGAL::parameters::facet_angle = 25,
                          CGAL::parameters::facet_size = size, CGAL::parameters::facet_distance = options.distance_mm,
                          CGAL::parameters::cell_size = 40.0, CGAL::parameters::cell_radius_edge_ratio = 3.0);
  const Complex complex = CGAL::make_mesh_3<Complex>(domain, criteria, CGAL::parameters::no_perturb(),
                                                     CGAL::parameters::no_exude(), CGAL::parameters::manifold());
  return boundary(complex);
}

}  // namespace aplomb::template_tool
