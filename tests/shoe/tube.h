// A closed round box and its wall, for tests against rings and tubes.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <catch2/catch.hpp>

#include "aplomb/shoe/wall_give.h"

namespace aplomb::shoe::test {

/// A round box whose wall is a straight tube of inner radius 29 mm: the middle of a 2 mm wall lies at r = 30 mm. No
/// vamp, ends at one height: a closed tube.
inline ShoeParameters tube(double thickness_mm = 2, double length_mm = 60) {
  ShoeParameters p;
  p.wall_thickness_mm = thickness_mm;
  p.edge_radius_mm = 1;
  p.ball_breadth_mm = p.crown_height_mm = 60 - thickness_mm;
  p.platform_breadth_mm = p.platform_height_mm = p.ball_breadth_mm - 2 * 1.0 / 0.8531 - 1e-9;
  p.platform_tilt_deg = 0;
  p.squareness = 2;
  p.sole_flatness = 0;
  p.wing_medial_mm = p.wing_lateral_mm = p.vamp_length_mm = p.cap_length_mm = p.sole_edge_mm = length_mm;
  return p;
}

struct Wall {
  ShoeParameters parameters;
  BoxSurface box;
  WallGive give;
  WallStiffness K;
};

inline Wall make_wall(const ShoeParameters& p) {
  auto box = BoxSurface::make(p);
  REQUIRE(box);
  WallGive give(*box);
  WallStiffness K = wall_stiffness(p, *box, give);
  return {p, std::move(*box), std::move(give), std::move(K)};
}

/// Area integral of (hat sum)^2 up the wall, per mm round the section: what a ring's closed form is multiplied by when
/// all hats move by `amount`.
inline double height_integral(const Wall& wall, const Eigen::Vector3d& amount) {
  const double from = wall.box.platform_z(), to = wall.box.highest_cut_z();
  constexpr int steps = 4000;
  double sum = 0;
  for (int i = 0; i < steps; ++i) {
    const double f = wall.give.hinged_hats_at(from + (i + 0.5) * (to - from) / steps).value.matrix().dot(amount);
    sum += f * f * (to - from) / steps;
  }
  return sum;
}

inline Eigen::VectorXd amounts(int n, bool sine, const Eigen::Vector3d& hat) {
  Eigen::VectorXd a = Eigen::VectorXd::Zero(WallGive::shape_count);
  for (int j = 0; j < WallGive::hats; ++j) a[WallGive::index(j, n, sine)] = hat[j];
  return a;
}

}  // namespace aplomb::shoe::test
