// Shells, cavity, sole and upper: CGAL judges closedness, orientation, self-intersection and thickness.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "aplomb/geometry/exact.h"
#include "aplomb/geometry/mesh.h"
#include "aplomb/shoe/meshes.h"
#include "samples.h"

using namespace aplomb;
using namespace aplomb::shoe;
using test::random_shoe;
using test::sample_shoe;

namespace {

/// True when it is a solid.
bool check_solid(const TriMesh& mesh) {
  const auto topology = geometry::topology(mesh);
  CHECK(topology.closed());
  CHECK(topology.oriented());
  CHECK(topology.components == 1);
  CHECK(topology.euler == 2);
  const auto report = geometry::examine(mesh);
  CHECK(report.closed);
  CHECK(report.outward);
  CHECK(report.self_intersections == 0);
  CHECK(report.volume_mm3 == Approx(geometry::volume(mesh)).epsilon(1e-9));
  return topology.closed() && topology.oriented() && topology.components == 1 && report.closed && report.outward &&
         report.self_intersections == 0;
}

/// How many of the shoes first..last-1 have a solid shell and a solid cavity.
int check_shells(int first, int last) {
  int solid = 0;
  const MeshResolution coarse{.around = 96, .rounding_rows = 6, .row_mm = 4};
  for (int i = first; i < last; ++i) {
    CAPTURE(i);
    const Shoe shoe = random_shoe(i);
    const TriMesh shell = make_shell(shoe, coarse), cavity = make_cavity(shoe, 5, coarse);
    const bool shell_solid = check_solid(shell), cavity_solid = check_solid(cavity);
    solid += shell_solid && cavity_solid ? 1 : 0;
    CHECK(geometry::bounds(shell).min.z() == Approx(0).margin(1e-9));
  }
  return solid;
}

// Largest error of the thickness met at wall points of the shoe: CGAL distance from the outer side of the shell's mesh
// to the inner surface's mesh, on meshes finer than the tolerance.
double thickness_error(const Shoe& shoe) {
  const MeshResolution fine{.around = 480, .rounding_rows = 24, .row_mm = 0.6};
  const TriMesh shell = make_shell(shoe, fine);
  const geometry::ExactDistance to_cavity(make_cavity(shoe, 40, fine));
  const double rounding_end = shoe.box.rounding_end_z();
  double worst = 0;
  int walls = 0, platforms = 0;
  // The first half of the shell's rows is the outer surface (one fan centre after row 0).
  const std::size_t half = shell.vertices.size() / 2;
  for (std::size_t i = 0; i < half; i += 37) {
    const Vec3& x = shell.vertices[i];
    const Vec3 inner = to_cavity.closest(x);
    const double distance = (x - inner).norm();
    if (inner.z() > rounding_end + 0.1) {
      worst = std::max(worst, std::abs(distance - shoe.parameters.wall_thickness_mm));
      ++walls;
    } else if (x.z() < 1e-9) {
      worst = std::max(worst, std::abs(distance - shoe.parameters.platform_thickness_mm));
      ++platforms;
    }
  }
  CHECK(walls > 500);
  CHECK(platforms > 5);
  return worst;
}

}  // namespace

TEST_CASE("sample shells, cavities and soles are closed solids without self-intersection") {
  const Shoe shoe = sample_shoe(GENERATE("tapered", "parallel", "deep_box"));
  check_solid(make_shell(shoe));
  check_solid(make_cavity(shoe));
  check_solid(make_sole(shoe, rest_line(shoe.shank)));
  ShankSpec bent = shoe.shank;
  for (double& kappa : bent.kappa0_per_mm) kappa = -1 / 72.0;  // a pointed arch of 72 mm radius
  check_solid(make_sole(shoe, rest_line(bent)));
  // The solid weighs about wall area times thickness.
  const TriMesh shell = make_shell(shoe);
  const double mean_thickness = geometry::volume(shell) / (geometry::area(shell) / 2);
  CHECK(mean_thickness > 0.8 * shoe.parameters.wall_thickness_mm);
  CHECK(mean_thickness < shoe.parameters.platform_thickness_mm);
}

TEST_CASE("random shells are closed solids: 24 of the 200") { check_shells(0, 24); }

TEST_CASE("random shells are closed solids: all 200", "[.][long][shells]") {
  fmt::print("result: shell and cavity closed, outward and free of self-intersection (CGAL): {} of 200 random shoes\n",
             check_shells(0, 200));
}

TEST_CASE("the wall is as thick as asked, by CGAL's distance") {
  CHECK(thickness_error(sample_shoe(GENERATE("tapered", "parallel", "deep_box"))) < 0.05);
}

TEST_CASE("random walls are as thick as asked", "[.][long][shells]") {
  double worst = 0;
  for (int i = 0; i < 40; ++i) {
    CAPTURE(i);
    const double error = thickness_error(random_shoe(i));
    worst = std::max(worst, error);
    CHECK(error < 0.05);
  }
  fmt::print("result: wall thickness against CGAL's distance, 40 random shoes: largest error {:.4f} mm\n", worst);
}

TEST_CASE("the upper runs from the cut line to the back seam on both sides") {
  const Shoe shoe = sample_shoe("parallel");
  const TriMesh upper = make_upper(shoe, rest_line(shoe.shank));
  const auto topology = geometry::topology(upper);
  CHECK(topology.components == 2);
  CHECK(topology.non_manifold_edges == 0);
  CHECK(topology.flipped_edges == 0);
  double outward = 0;  // both sides are wound to be seen from outside
  for (const auto& [a, b, c] : upper.faces) {
    const Vec3& x = upper.vertices[a];
    const Vec3 normal = (upper.vertices[b] - x).cross(upper.vertices[c] - x);
    outward += x.y() > 0 ? normal.y() : -normal.y();
  }
  CHECK(outward > geometry::area(upper));  // most of the doubled area faces its own side
  CHECK((upper.vertices.front() - shoe.upper.throat_S).norm() < 1e-9);
  double to_heel = 1e9, to_top = 1e9;
  for (const Vec3& x : upper.vertices) {
    CHECK(x.allFinite());
    to_heel = std::min(to_heel, (x - shoe.upper.heel_seat_S).norm());
    to_top = std::min(to_top, (x - shoe.upper.back_seam_top_S).norm());
  }
  CHECK(to_heel < 1e-9);
  CHECK(to_top < 1e-9);
}
