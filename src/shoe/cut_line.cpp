// The line runs from the throat on the dorsum over the wing ends to the sole edge. It is written in cosine and sine of
// the direction, so no inverse trigonometry and no seam; near the axis the direction is softened and nothing is
// singular.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cut_line.h"

#include <algorithm>
#include <cmath>

#include "profile.h"

namespace aplomb::shoe {

namespace {

// The line is down at the sole edge where the cosine of the direction is minus this.
constexpr double sole_reach = 0.8;

// C3 step from 0 at t <= 0 to 1 at t >= 1.
Jet step(double t) {
  if (t <= 0) return {};
  if (t >= 1) return {1, 0, 0};
  const double w = t * (1 - t);
  return {t * t * t * t * (35 + t * (-84 + t * (70 - 20 * t))), 140 * w * w * w, 420 * w * w * (1 - 2 * t)};
}

// Rise from throat (0, at c = 1) to wing (1, at c <= 0) along the dorsum, as a function of the cosine c.
Jet throat_rise(Throat throat, double c) {
  if (c <= 0) return {1, 0, 0};
  if (throat == Throat::round) {
    const Jet s = step(1 - c);
    return {s.value, -s.first, s.second};
  }
  // V: nearly proportional to the angle, sqrt(2 (1 - c)), with a small rounding at the bottom.
  constexpr double rounding = 0.12;
  const double root = std::sqrt(2 * (1 - c) + rounding * rounding);
  const double full = std::sqrt(2 + rounding * rounding) - rounding;
  const double a = (root - rounding) / full, a1 = -1 / (root * full), a2 = -1 / (root * root * root * full);
  // 1 - (1-a)^4 (1 + 2.5 a): slope 1.5 at the throat, flat at the wing.
  const double b = 1 - a, k = 1 + 2.5 * a, b2 = b * b;
  const double g = 1 - b2 * b2 * k, g1 = b2 * b * (4 * k - 2.5 * b), g2 = b2 * (-12 * k + 20 * b);
  return {g, g1 * a1, g2 * a1 * a1 + g1 * a2};
}

}  // namespace

CutLine::CutLine(const ShoeParameters& p) : throat_(p.throat) {
  const double base = p.platform_thickness_mm;
  vamp_z_ = base + p.vamp_length_mm;
  sole_z_ = base + p.sole_edge_mm;
  wing_mean_z_ = base + 0.5 * (p.wing_medial_mm + p.wing_lateral_mm);
  wing_half_difference_ = 0.5 * (p.wing_medial_mm - p.wing_lateral_mm);
  centre_x_ = std::tan(p.platform_tilt_deg * geometry::rad_per_deg) * p.ball_height_mm;
}

CutLine::Direction CutLine::direction(const Vec2& xy) const {
  constexpr double softening_mm = 0.5;
  const double X = xy.x() - centre_x_, Y = xy.y();
  const double r = 1 / std::sqrt(X * X + Y * Y + softening_mm * softening_mm);
  return {X * r, Y * r, r};
}

double CutLine::z(const Vec2& xy) const {
  const Direction d = direction(xy);
  const double wing = wing_mean_z_ + wing_half_difference_ * d.s;
  if (d.c >= 0) return vamp_z_ + (wing - vamp_z_) * throat_rise(throat_, d.c).value;
  return sole_z_ + (wing - sole_z_) * (1 - step(-d.c / sole_reach).value);
}

CutLine::Height CutLine::at(const Vec2& xy) const {
  const auto [c, s, r] = direction(xy);
  const double r2 = r * r;
  const Vec2 unit(c, s);
  // d unit = (I - unit unit^T) r ; second derivatives of c and s follow.
  const Vec2 dc = r * (Vec2(1, 0) - c * unit), ds = r * (Vec2(0, 1) - s * unit);
  const Eigen::Matrix2d uu = unit * unit.transpose(), identity = Eigen::Matrix2d::Identity();
  const auto bend = [&](double f, const Vec2& e) -> Eigen::Matrix2d {
    return r2 * (3 * f * uu - f * identity - unit * e.transpose() - e * unit.transpose());
  };
  const Eigen::Matrix2d ddc = bend(c, {1, 0}), dds = bend(s, {0, 1});

  const double wing = wing_mean_z_ + wing_half_difference_ * s;
  const Vec2 wing_gradient = wing_half_difference_ * ds;
  const Eigen::Matrix2d wing_hessian = wing_half_difference_ * dds;
  const auto blend = [&](double end, const Jet& w) {  // end + (wing - end) w
    Height h;
    h.z = end + (wing - end) * w.value;
    h.gradient = w.value * wing_gradient + (wing - end) * w.first * dc;
    const Eigen::Matrix2d mixed = w.first * (wing_gradient * dc.transpose() + dc * wing_gradient.transpose());
    h.hessian = w.value * wing_hessian + mixed + (wing - end) * (w.second * dc * dc.transpose() + w.first * ddc);
    return h;
  };
  if (c >= 0) return blend(vamp_z_, throat_rise(throat_, c));
  const Jet fall = step(-c / sole_reach);
  return blend(sole_z_, {1 - fall.value, fall.first / sole_reach, -fall.second / (sole_reach * sole_reach)});
}

CutLine::Cover CutLine::cover(const Vec3& x, double fade_mm) const {
  if (x.z() <= lowest_z()) return {};
  const Jet fade = step((x.z() - z(x.head<2>())) / fade_mm);
  Cover cover;
  cover.value = 1 - fade.value;
  if (fade.first == 0 && fade.second == 0) return cover;
  const Height h = at(x.head<2>());
  const Vec3 g(-h.gradient.x(), -h.gradient.y(), 1);
  cover.gradient = (-fade.first / fade_mm) * g;
  cover.hessian = (-fade.second / (fade_mm * fade_mm)) * g * g.transpose();
  cover.hessian.topLeftCorner<2, 2>() += (fade.first / fade_mm) * h.hessian;
  return cover;
}

double CutLine::lowest_z() const {
  return std::min({vamp_z_, sole_z_, wing_mean_z_ - std::abs(wing_half_difference_)});
}
double CutLine::highest_z() const {
  return std::max({vamp_z_, sole_z_, wing_mean_z_ + std::abs(wing_half_difference_)});
}

}  // namespace aplomb::shoe
