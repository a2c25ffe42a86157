// Rods that the rod's tests share.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cmath>

#include "aplomb/contact/rod.h"

namespace aplomb::contact::rods {

inline Rod uniform_rod(int count, double length_mm, double EI_Nmm2 = 1e5) {
  Rod rod;
  rod.length_mm.assign(count, length_mm / count);
  rod.EI_Nmm2.assign(count, EI_Nmm2);
  rod.rest_curvature.assign(count, 0);
  rod.half_breadth_mm.assign(count + 1, 20);
  return rod;
}

/// Uneven elements, off-origin clamp, unknowns behind three others, a bend that changes sign.
struct Bent {
  Rod rod;
  Eigen::VectorXd q;
};
inline Bent bent_rod(int count = 9) {
  Bent out{uniform_rod(count, 110), Eigen::VectorXd::Zero(count + 3)};
  out.rod.start_xz = {-7, 12};
  out.rod.start_angle = 0.2;
  out.rod.first_dof = 3;
  for (int e = 0; e < count; ++e) {
    out.rod.length_mm[e] *= 1 + 0.3 * std::sin(2.0 * e);
    out.rod.EI_Nmm2[e] *= 1 + 0.4 * std::cos(1.3 * e);
    out.rod.rest_curvature[e] = 0.002 * std::sin(e + 1.0);
  }
  double angle = out.rod.start_angle;
  for (int e = 0; e < count; ++e)
    out.q[3 + e] = angle += (e < count / 2 ? 0.16 : -0.22) * (1 + 0.3 * std::sin(3.0 * e));
  return out;
}

/// The curve by brute force: midpoint rule with many steps, theta interpolated straight from its definition.
inline Vec2 point_by_small_steps(const Rod& rod, const Eigen::VectorXd& q, double arc) {
  const int steps_per_element = 20000;
  Vec2 r = rod.start_xz;
  double from = rod.start_angle, s = 0;
  for (int e = 0; e < rod.element_count() && s < arc; ++e) {
    const double to = q[rod.first_dof + e], l = rod.length_mm[e];
    const double part = std::min(l, arc - s);
    const double ds = part / steps_per_element;
    for (int i = 0; i < steps_per_element; ++i) {
      const double theta = from + (to - from) * (i + 0.5) * ds / l;
      r += ds * Vec2(std::sin(theta), std::cos(theta));
    }
    from = to;
    s += part;
  }
  return r;
}

}  // namespace aplomb::contact::rods
