// Problems with fewer points: what stands for what, and that the answer of the whole does not show where it was begun.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "../../src/contact/thin.h"
#include "aplomb/contact/equilibrium.h"
#include "rigs.h"

using namespace aplomb;
using namespace aplomb::contact;

namespace {

/// A sole of 80 x 80 points one millimetre apart over a floor, with soft tissue; half of it also touches a second
/// floor's list.
Problem sole(const rigs::Plane& floor, double friction) {
  Problem p = rigs::one_link(rigs::free_link(false), Vec3(0, 0, 20), Vec3(3, 1, -100));
  std::vector<SkinPoint> points;
  for (int i = 0; i < 80; ++i)
    for (int j = 0; j < 80; ++j) {
      SkinPoint s;
      s.position_rest = Vec3(i - 39.5, j - 39.5, 0.002 * (i - 39.5) * (i - 39.5));
      s.normal_rest = Vec3(0.004 * (i - 39.5), 0, -1).normalized();
      s.area_mm2 = 1;
      s.layer = {0.2, 8};
      points.push_back(s);
    }
  rigs::add_skin(p, points, &floor, friction, 1);
  return p;
}

double area_of(const Problem& problem, const std::vector<int>& list) {
  double sum = 0;
  for (int i : list) sum += problem.points[static_cast<std::size_t>(i)].area_mm2;
  return sum;
}

}  // namespace

TEST_CASE("few points stand for many, each list with its whole area") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  Problem p = sole(floor, 0.3);
  SurfaceContact second = p.surfaces.front();
  second.points.resize(second.points.size() / 2);
  p.surfaces.push_back(second);
  for (int i = 0; i < 1000; ++i) (i % 2 == 0 ? p.rod_contact.points : p.surfaces[1].points).push_back(6399 - i);
  const Problem thin = thinned(p);
  CHECK(touching_points(p) == p.points.size());
  CHECK(touching_points(thin) == thin.points.size());
  CHECK(thin.points.size() < p.points.size() / 3);
  CHECK(thin.points.size() > p.points.size() / 12);
  CHECK(thin.dof_count == p.dof_count);
  for (std::size_t s = 0; s < p.surfaces.size(); ++s)
    CHECK(area_of(thin, thin.surfaces[s].points) == Approx(area_of(p, p.surfaces[s].points)));
  CHECK(area_of(thin, thin.rod_contact.points) == Approx(area_of(p, p.rod_contact.points)));
}

TEST_CASE("skin that faces elsewhere is not stood for") {
  const rigs::Plane floor(Vec3::Zero(), Vec3::UnitZ());
  Problem p = sole(floor, 0);
  for (std::size_t i = 0; i < p.points.size(); i += 2) p.points[i].normal_rest = Vec3::UnitX();
  const Problem thin = thinned(p);
  double sideways = 0;
  for (const SkinPoint& point : thin.points)
    if (point.normal_rest.x() > 0.9) sideways += point.area_mm2;
  CHECK(sideways == Approx(3200));
}
