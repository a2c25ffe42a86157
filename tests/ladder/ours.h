// Our contact model pressed to a given depth: one body that only comes down along z, its skin and what it meets.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>

#include "../contact/rigs.h"
#include "aplomb/contact/system.h"

namespace aplomb::ladder {

/// A rigid ball, the free side outside.
class Ball : public contact::rigs::Surface {
 public:
  Ball(const contact::Vec3& centre, double radius_mm) : centre_(centre), radius_(radius_mm) {}
  bool sample(const contact::Vec3& x, double band_mm, contact::rigs::SurfaceSample& out) const override {
    out = {};
    const contact::Vec3 from = x - centre_;
    const double distance = from.norm();
    out.gap_mm = distance - radius_;
    if (out.gap_mm >= band_mm || distance < 1e-9) return false;
    out.normal = from / distance;
    out.curvature = (contact::Mat3::Identity() - out.normal * out.normal.transpose()) / distance;
    return true;
  }

 private:
  contact::Vec3 centre_;
  double radius_;
};

struct Pressed {
  double force_N = 0;                ///< along the way, of all surfaces
  std::vector<double> by_surface_N;  ///< of each
  double peak_MPa = 0;
  std::vector<double> pressure_MPa;  ///< by point
};

/// A problem whose only unknown is the lift, at depth d below its rest place.
inline Pressed at_depth(const contact::Problem& problem, double depth_mm) {
  contact::System system(problem);
  const Eigen::VectorXd q = Eigen::VectorXd::Constant(1, -depth_mm);
  system.freeze(q);
  Pressed out;
  out.by_surface_N.assign(problem.surfaces.size(), 0);
  out.pressure_MPa.assign(problem.points.size(), 0);
  for (const contact::ContactState& c : system.contacts(q, contact::FrictionMode::none)) {
    out.force_N += c.normal_force_N.z();
    out.by_surface_N[static_cast<std::size_t>(c.surface)] += c.normal_force_N.z();
    out.pressure_MPa[static_cast<std::size_t>(c.point)] += c.pressure_MPa;
    out.peak_MPa = std::max(out.peak_MPa, c.pressure_MPa);
  }
  return out;
}

/// The depth at which it carries a force, by bisection below `deepest_mm`.
inline double depth_at(const contact::Problem& problem, double force_N, double deepest_mm) {
  double low = 0, high = deepest_mm;
  for (int i = 0; i < 45; ++i) {
    const double middle = (low + high) / 2;
    (at_depth(problem, middle).force_N < force_N ? low : high) = middle;
  }
  return (low + high) / 2;
}

inline double percent(double value, double of) { return 100 * (value / of - 1); }

}  // namespace aplomb::ladder
