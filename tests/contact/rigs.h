// Simple rigs for contact tests: rigid walls with closed-form distance, and skin laid out by quadrature on simple
// bodies.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <memory>
#include <vector>

#include "aplomb/contact/equilibrium.h"
#include "aplomb/contact/problem.h"

namespace aplomb::contact::rigs {

using geometry::pi;
using geometry::rad_per_deg;
using geometry::Surface;
using geometry::SurfaceSample;

/// Half space: the free side is where the normal points.
class Plane : public Surface {
 public:
  Plane(const Vec3& point, const Vec3& normal) : point_(point), normal_(normal.normalized()) {}
  bool sample(const Vec3& x, double band_mm, SurfaceSample& out) const override {
    out = {};
    out.gap_mm = (x - point_).dot(normal_);
    out.normal = normal_;
    return out.gap_mm < band_mm;
  }

 private:
  Vec3 point_, normal_;
};

/// Inside of a circular cone that opens along +z of T: radius at height z is base_radius + z tan(half_angle).
class Cone : public Surface {
 public:
  Cone(const Isometry& T_world_cone, double base_radius_mm, double half_angle)
      : T_(T_world_cone), base_(base_radius_mm), angle_(half_angle) {}
  bool sample(const Vec3& x, double band_mm, SurfaceSample& out) const override {
    out = {};
    const Vec3 p = T_.inverse() * x;
    const double rho = std::hypot(p.x(), p.y());
    out.gap_mm = (base_ + p.z() * std::tan(angle_) - rho) * std::cos(angle_);
    if (out.gap_mm >= band_mm || rho < 1e-9) return false;
    const Vec3 outward(p.x() / rho, p.y() / rho, 0), around(-outward.y(), outward.x(), 0);
    const Vec3 n = std::sin(angle_) * Vec3::UnitZ() - std::cos(angle_) * outward;
    const Mat3 R = T_.linear();
    out.normal = R * n;
    out.curvature = R * (-std::cos(angle_) / rho * around * around.transpose()) * R.transpose();
    return true;
  }

 private:
  Isometry T_;
  double base_, angle_;
};

/// Three slides along x, y, z, then three turns about x, y, z through `centre`; `turns` false leaves the turns out.
inline Link free_link(bool turns, const Vec3& centre = Vec3::Zero(), int first_dof = 0) {
  Link link;
  for (int i = 0; i < 3; ++i)
    link.axes.push_back({LinkageAxis::Kind::slide, first_dof + i, 1, Vec3::Unit(i), Vec3::Zero()});
  for (int i = 0; turns && i < 3; ++i)
    link.axes.push_back({LinkageAxis::Kind::turn, first_dof + 3 + i, 1, Vec3::Unit(i), centre});
  return link;
}

/// One link that only slides along z.
inline Link lift_link() {
  Link link;
  link.axes.push_back({LinkageAxis::Kind::slide, 0, 1, Vec3::UnitZ(), Vec3::Zero()});
  return link;
}

/// A problem of one link under a dead load, still without skin and walls.
inline Problem one_link(const Link& link, const Vec3& load_point, const Vec3& force_N) {
  Problem problem;
  problem.linkage.links = {link};
  for (const LinkageAxis& axis : link.axes) {
    problem.dof_count = std::max(problem.dof_count, axis.dof + 1);
    problem.dof_is_length.resize(problem.dof_count);
    problem.dof_is_length[axis.dof] = axis.kind == LinkageAxis::Kind::slide;
  }
  problem.linkage.dof_count = problem.dof_count;
  problem.load = {0, load_point, force_N};
  problem.load_N = force_N.norm();
  return problem;
}

/// Puts skin on a link and, unless surface is null, against that surface.
inline void add_skin(Problem& problem, const std::vector<SkinPoint>& skin, const Surface* surface, double friction,
                     int link = 0) {
  SurfaceContact contact{surface, friction, {}, {}};
  for (SkinPoint point : skin) {
    point.links = {link, 0, 0, 0};
    contact.points.push_back(static_cast<int>(problem.points.size()));
    problem.points.push_back(point);
  }
  if (surface != nullptr) problem.surfaces.push_back(contact);
}

/// Linear elastic foundation p = K d as the limit of a layer so thick that its logarithm is straight.
inline Layer winkler(double K_N_per_mm3) { return {.modulus_MPa = K_N_per_mm3 * 1e7, .thickness_mm = 1e7}; }

/// Underside of a body of revolution z = f(r^2), as rings of equal plan area. slope(u) = d f / d(r^2).
template <class Height, class Slope>
std::vector<SkinPoint> revolved(Height height, Slope slope, double radius_mm, int rings, int spokes,
                                const Layer& layer) {
  std::vector<SkinPoint> skin;
  const double du = radius_mm * radius_mm / rings;
  for (int i = 0; i < rings; ++i) {
    const double u = (i + 0.5) * du, r = std::sqrt(u);
    for (int j = 0; j < spokes; ++j) {
      const double a = 2 * pi * (j + 0.5 * (i % 2)) / spokes;
      SkinPoint point;
      point.position_rest = {r * std::cos(a), r * std::sin(a), height(u)};
      const Vec3 normal(2 * slope(u) * point.position_rest.x(), 2 * slope(u) * point.position_rest.y(), -1);
      point.normal_rest = normal.normalized();
      point.area_mm2 = pi * du / spokes * normal.norm();  // skin area over its plan area
      point.layer = layer;
      skin.push_back(point);
    }
  }
  return skin;
}

/// Spherical cap of plan radius `radius_mm`, lowest point at the origin.
inline std::vector<SkinPoint> spherical_cap(double R, double radius_mm, int rings, int spokes, const Layer& layer) {
  return revolved([R](double u) { return R - std::sqrt(R * R - u); },
                  [R](double u) { return 0.5 / std::sqrt(R * R - u); }, radius_mm, rings, spokes, layer);
}

/// Paraboloid z = r^2 / (2 R), lowest point at the origin.
inline std::vector<SkinPoint> paraboloid(double R, double radius_mm, int rings, int spokes, const Layer& layer) {
  return revolved([R](double u) { return u / (2 * R); }, [R](double) { return 0.5 / R; }, radius_mm, rings, spokes,
                  layer);
}

/// Flat rectangle centred on `centre` with sides a, b (unit directions times lengths), n x n points, one outward
/// normal.
inline std::vector<SkinPoint> flat(const Vec3& centre, const Vec3& a, const Vec3& b, const Vec3& normal, int n,
                                   const Layer& layer) {
  std::vector<SkinPoint> skin;
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) {
      SkinPoint point;
      point.position_rest = centre + a * ((i + 0.5) / n - 0.5) + b * ((j + 0.5) / n - 0.5);
      point.normal_rest = normal;
      point.area_mm2 = a.cross(b).norm() / (n * n);
      point.layer = layer;
      skin.push_back(point);
    }
  return skin;
}

/// Outside of a frustum about z: half angle, mean radius, slant length, mean radius at height z_mean.
inline std::vector<SkinPoint> frustum_side(double half_angle, double mean_radius, double slant, double z_mean, int rows,
                                           int spokes, const Layer& layer) {
  std::vector<SkinPoint> skin;
  const double sn = std::sin(half_angle), cs = std::cos(half_angle);
  for (int i = 0; i < rows; ++i) {
    const double along = slant * ((i + 0.5) / rows - 0.5);
    const double r = mean_radius + along * sn;
    for (int j = 0; j < spokes; ++j) {
      const double a = 2 * pi * j / spokes;
      SkinPoint point;
      point.position_rest = {r * std::cos(a), r * std::sin(a), z_mean + along * cs};
      point.normal_rest = {cs * std::cos(a), cs * std::sin(a), -sn};
      point.area_mm2 = 2 * pi * r * slant / (rows * spokes);
      point.layer = layer;
      skin.push_back(point);
    }
  }
  return skin;
}

/// Sum of the forces on the skin of one surface.
inline Vec3 surface_force(const Equilibrium& state, int surface) {
  Vec3 sum = Vec3::Zero();
  for (const ContactState& c : state.contacts)
    if (c.against == ContactState::Against::surface && c.surface == surface)
      sum += c.normal_force_N + c.friction_force_N;
  return sum;
}

}  // namespace aplomb::contact::rigs
