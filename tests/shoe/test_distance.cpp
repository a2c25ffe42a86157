// Distances and sides against CGAL (AABB tree and Side_of_triangle_mesh) on a finely meshed cavity.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "aplomb/geometry/exact.h"
#include "aplomb/geometry/mesh.h"
#include "aplomb/shoe/meshes.h"
#include "samples.h"

using namespace aplomb;
using namespace aplomb::shoe;

namespace {

struct Agreement {
  double rms_mm = 0, worst_mm = 0;
  double worst_near_mm = 0;        // among overlaps and clear points up to the edge radius, where contact looks
  double worst_wrong_sign_mm = 0;  // largest |distance| at which the sides differ
  int compared = 0, wrong_signs = 0;
};

Agreement against_cgal(const Shoe& shoe, int count, unsigned seed) {
  const TriMesh cavity = make_cavity(shoe, 43, {.around = 480, .rounding_rows = 32, .row_mm = 0.5});
  const geometry::ExactDistance exact(cavity);
  const auto box = geometry::bounds(cavity);
  std::mt19937 random(seed);
  const auto uniform = [&](double from, double to) { return from + (to - from) * (random() / 4294967296.0); };
  Agreement agreement;
  double squares = 0;
  while (agreement.compared < count) {
    // The whole box and 8 mm round it; below the top of the cut the lid is never nearest.
    const Vec3 x(uniform(box.min.x() - 8, box.max.x() + 8), uniform(box.min.y() - 8, box.max.y() + 8),
                 uniform(box.min.z() - 8, shoe.box.highest_cut_z() + 3));
    const double reference = exact.distance(x);
    const int side = exact.side(x);
    if (side < 0 && reference > 8) continue;
    const double gap = shoe.box.nearest(x).gap_mm;
    ++agreement.compared;
    const double error = std::abs(gap) - reference;
    squares += error * error;
    agreement.worst_mm = std::max(agreement.worst_mm, std::abs(error));
    if (side < 0 || reference < shoe.parameters.edge_radius_mm)
      agreement.worst_near_mm = std::max(agreement.worst_near_mm, std::abs(error));
    if (side * gap < 0) {
      ++agreement.wrong_signs;
      agreement.worst_wrong_sign_mm = std::max(agreement.worst_wrong_sign_mm, std::abs(gap));
    }
  }
  agreement.rms_mm = std::sqrt(squares / count);
  return agreement;
}

Agreement check_agreement(const std::string& name, int count) {
  const Agreement a = against_cgal(test::sample_shoe(name), count, 21);
  CAPTURE(name, a.worst_mm);
  CHECK(a.rms_mm <= 0.02);
  CHECK(a.worst_near_mm <= 0.02);
  CHECK(a.worst_wrong_sign_mm <= 0.01);
  return a;
}

/// For tests/results.md.
void tell(const std::string& what, const Agreement& a) {
  fmt::print(
      "result: {}: {} points against CGAL, rms {:.4f} mm, worst near the surface {:.4f} mm, worst deep inside {:.4f} "
      "mm; {} other signs, all within {:.4f} mm of the surface\n",
      what, a.compared, a.rms_mm, a.worst_near_mm, a.worst_mm, a.wrong_signs, a.worst_wrong_sign_mm);
}

}  // namespace

TEST_CASE("distance and side agree with CGAL") { check_agreement(GENERATE("tapered", "parallel", "deep_box"), 10000); }

TEST_CASE("distance and side agree with CGAL on 100 000 points", "[.][long][distance]") {
  for (const std::string name : {"tapered", "parallel", "deep_box"}) tell(name, check_agreement(name, 100000));
}

TEST_CASE("distance and side agree with CGAL for random shoes", "[.][long][distance]") {
  Agreement all;
  double squares = 0;
  for (int i = 0; i < 30; ++i) {
    CAPTURE(i);
    const Agreement a = against_cgal(test::random_shoe(i), 5000, 100 + i);
    CHECK(a.rms_mm <= 0.02);
    CHECK(a.worst_wrong_sign_mm <= 0.01);
    CHECK(a.worst_near_mm <= 0.02);
    squares += a.rms_mm * a.rms_mm * a.compared;
    all.compared += a.compared;
    all.wrong_signs += a.wrong_signs;
    all.worst_mm = std::max(all.worst_mm, a.worst_mm);
    all.worst_near_mm = std::max(all.worst_near_mm, a.worst_near_mm);
    all.worst_wrong_sign_mm = std::max(all.worst_wrong_sign_mm, a.worst_wrong_sign_mm);
  }
  all.rms_mm = std::sqrt(squares / all.compared);
  tell("30 random shoes", all);
}
