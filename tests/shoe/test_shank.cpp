// The shank as a rod: length, stiffness, break zone, pre-bend; and the hold of the upper.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <numeric>

#include "samples.h"

using namespace aplomb;
using namespace aplomb::shoe;

namespace {

double sum(const std::vector<double>& values) { return std::accumulate(values.begin(), values.end(), 0.0); }

Shoe made(const ShoeParameters& p) {
  const auto shoe = make_shoe(p);
  if (!shoe) FAIL(io::to_line(shoe.error()));
  return *shoe;
}

// End-to-end bending compliance: turn per unit moment.
double compliance(const ShankSpec& shank) {
  double total = 0;
  for (std::size_t i = 0; i < shank.EI_Nmm2.size(); ++i) total += shank.element_length_mm[i] / shank.EI_Nmm2[i];
  return total;
}

}  // namespace

TEST_CASE("the rod leaves the box on its inner sole, along it, and ends at the heel", "[core]") {
  const Shoe shoe = test::sample_shoe(GENERATE("tapered", "parallel", "deep_box"));
  const ShankSpec& shank = shoe.shank;
  CHECK(sum(shank.element_length_mm) + shoe.parameters.sole_edge_mm == Approx(shoe.parameters.inner_length_mm));
  const Vec3 start(shank.start_xz.x(), 0, shank.start_xz.y());
  CHECK(std::abs(shoe.box.nearest(start).gap_mm) < 1e-9);
  CHECK(static_cast<Zone>(shoe.box.nearest(start).zone) == Zone::wall_sole);
  const double h = 0.01;
  const Vec3 along(std::sin(shank.start_angle_rad), 0, std::cos(shank.start_angle_rad));
  CHECK(std::abs(shoe.box.nearest(start - h * along).gap_mm) < 1e-5);  // second order in h: tangent to the surface
  CHECK(shank.half_breadth_mm.size() == shank.element_length_mm.size() + 1);
}

TEST_CASE("stiffness: unit, wear, moisture, cut shank", "[core]") {
  ShoeParameters p = test::sample_shoe("tapered").parameters;
  p.break_zone_from_mm = p.break_zone_to_mm = p.break_zone_softening = p.prebend_deg = 0;
  const double length = p.inner_length_mm - p.sole_edge_mm;
  const double fresh = compliance(made(p).shank);
  CHECK(fresh == Approx(length / (p.shank_EI_Nm2 * 1e6)));  // 1 N m^2 = 1e6 N mm^2
  p.wear_hours = 8;
  CHECK(compliance(made(p).shank) == Approx(2 * fresh));  // stiffness halves
  p.wear_hours = 16;
  CHECK(compliance(made(p).shank) == Approx(4 * fresh));
  p.wear_hours = 0;
  p.moisture = 1;
  CHECK(compliance(made(p).shank) == Approx(fresh / 0.45));
  p.moisture = 0;
  p.shank_length_mm = 0.75 * length;
  const double expected = 0.75 * length / (p.shank_EI_Nm2 * 1e6) + 0.25 * length / (p.sole_EI_Nm2 * 1e6);
  CHECK(compliance(made(p).shank) == Approx(expected).epsilon(0.01));
  CHECK(made(p).shank.EI_Nmm2.front() == Approx(p.shank_EI_Nm2 * 1e6));
  CHECK(made(p).shank.EI_Nmm2.back() == Approx(p.sole_EI_Nm2 * 1e6));
}

TEST_CASE("pre-bend and compliance do not depend on the number of elements", "[core]") {
  const Shoe shoe = test::sample_shoe("deep_box");
  const int elements = GENERATE(8, 28, 56, 201);
  const ShankSpec shank = make_shank(shoe.parameters, shoe.box, elements);
  double turn = 0;
  for (int i = 0; i < elements; ++i) turn += shank.kappa0_per_mm[i] * shank.element_length_mm[i];
  CHECK(turn == Approx(-shoe.parameters.prebend_deg * geometry::rad_per_deg));
  CHECK(compliance(shank) == Approx(compliance(make_shank(shoe.parameters, shoe.box, 1000))).epsilon(0.01));
  // The broken-in zone is where it was asked for.
  double softest = 1e99, at = 0;
  for (int i = 0; i < elements; ++i)
    if (shank.EI_Nmm2[i] < softest) softest = shank.EI_Nmm2[i], at = i + 0.5;
  const double from_heel = sum(shank.element_length_mm) * (1 - at / elements);
  CHECK(from_heel > shoe.parameters.break_zone_from_mm - 12);
  CHECK(from_heel < shoe.parameters.break_zone_to_mm + 12);
}

TEST_CASE("a stiffness table is followed between its points", "[core]") {
  ShoeParameters p = test::sample_shoe("tapered").parameters;
  p.break_zone_from_mm = p.break_zone_to_mm = p.break_zone_softening = p.prebend_deg = 0;
  p.shank_EI_table = {{0, 0.05}, {60, 0.05}, {120, 0.11}};
  const ShankSpec shank = make_shank(p, made(p).box, 178);
  const double length = sum(shank.element_length_mm);
  const auto EI_at = [&](double from_heel) {
    return shank.EI_Nmm2[static_cast<int>((length - from_heel) / length * 178)];
  };
  CHECK(EI_at(30) == Approx(0.05e6));
  CHECK(EI_at(90) == Approx(0.08e6).epsilon(0.02));
  CHECK(EI_at(150) == Approx(0.11e6));
}

TEST_CASE("the resting line closes in arcs: a bent rod keeps its length and turns as told", "[core]") {
  ShankSpec shank = test::sample_shoe("tapered").shank;
  const double radius = 72, length = sum(shank.element_length_mm);
  for (double& kappa : shank.kappa0_per_mm) kappa = -1 / radius;
  const auto line = rest_line(shank);
  // Chord of an arc: 2 r sin(l / 2r), exact for arcs.
  CHECK((line.back() - line.front()).norm() == Approx(2 * radius * std::sin(length / (2 * radius))).epsilon(1e-12));
  CHECK(line.back().x() < line.front().x());  // a pointed arch takes the heel to the sole side
}

TEST_CASE("the upper's slack is the way over the heel of the empty shoe", "[core]") {
  const Shoe shoe = test::sample_shoe("parallel");
  const UpperSpec& upper = shoe.upper;
  CHECK(upper.throat_S.z() == Approx(shoe.box.platform_z() + shoe.parameters.vamp_length_mm).margin(0.02));
  CHECK(upper.wing_medial_S.y() == Approx(-upper.wing_lateral_S.y()));
  CHECK((upper.back_seam_top_S - upper.heel_seat_S).norm() == Approx(shoe.parameters.back_seam_height_mm));
  CHECK(upper.back_seam_top_S.x() > upper.heel_seat_S.x());  // it stands on the foot's side
  CHECK(upper.slack_mm ==
        Approx((upper.back_seam_top_S - upper.throat_S).norm() + shoe.parameters.back_seam_height_mm));
  CHECK(upper.drawstring_N == 8);
  CHECK(upper.elastic_N == 12);
  CHECK(upper.ribbon_from_heel_mm == Approx(0.27 * shoe.parameters.inner_length_mm));  // not in the file
}
