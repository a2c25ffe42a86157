// Fillet and growth. Every function here is concave and rising, which keeps the inside of the box convex.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "profile.h"

#include <cmath>

namespace aplomb::shoe {

namespace {

// The fillet is a Bezier curve of degree 5 through (0,0) (a,0) (2a,0) (1,1-2a) (1,1-a) (1,1), times its extent:
// curvature zero at both ends, so it joins plane and wall with continuous curvature. a = 0.30 makes its smallest radius
// largest.
constexpr double fillet_a = 0.30;
constexpr double fillet_smallest_radius = 0.8531;  // of the extent, at a = 0.30

Jet fillet_out(double t) {
  constexpr double a = fillet_a;
  // Power form of the Bezier ordinates 0, a, 2a, 1, 1, 1.
  constexpr double c1 = 5 * a, c3 = 10 - 30 * a, c4 = 40 * a - 15, c5 = 6 - 15 * a;
  return {t * (c1 + t * t * (c3 + t * (c4 + t * c5))), c1 + t * t * (3 * c3 + t * (4 * c4 + t * 5 * c5)),
          t * (6 * c3 + t * (12 * c4 + t * 20 * c5))};
}

double smooth_step(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return t * t * t * (10 + t * (6 * t - 15));
}

// Slope of the growth at the height fraction f (0 platform, 1 ball), not normalised. Past 0.8 it dies away to a
// twelfth, because a box runs nearly parallel past the ball.
double growth_slope(double f, double taper) {
  const double rate = 9 * (1 - taper);
  return std::exp(-rate * f) * (1 - (11.0 / 12) * smooth_step((f - 0.8) / 0.5));
}

// Growth of the dimensions with these tapers, from 0 at base_z to 1 at the ball.
SplinePair growth(double base_z, double ball_height, double end_z, const std::array<double, 2>& tapers) {
  constexpr int cells = 128, fine = 8;
  const double step = (end_z - base_z) / cells;
  std::vector<SplinePair::Pair> samples(cells + 1, SplinePair::Pair::Zero());
  SplinePair::Pair first_slope, last_slope;
  for (int k = 0; k < 2; ++k) {
    // Simpson over each cell: smooth integrand, far finer than the spline needs.
    const auto integral = [&](double from, double to) {
      double sum = 0;
      const double h = (to - from) / fine;
      for (int i = 0; i < fine; ++i) {
        const double x = from + i * h;
        sum += h / 6 *
               (growth_slope(x, tapers[k]) + 4 * growth_slope(x + h / 2, tapers[k]) + growth_slope(x + h, tapers[k]));
      }
      return sum;
    };
    double to_ball = 0;
    for (int i = 0; i < 16; ++i) to_ball += integral(i / 16.0, (i + 1) / 16.0);
    for (int i = 0; i < cells; ++i)
      samples[i + 1][k] = samples[i][k] + integral(i * step / ball_height, (i + 1) * step / ball_height) / to_ball;
    first_slope[k] = growth_slope(0, tapers[k]) / (ball_height * to_ball);
    last_slope[k] = growth_slope((end_z - base_z) / ball_height, tapers[k]) / (ball_height * to_ball);
  }
  return SplinePair(base_z, step, samples, first_slope, last_slope);
}

}  // namespace

double fillet_extent(double radius_mm) { return radius_mm / fillet_smallest_radius; }

Profile::Profile(const ShoeParameters& p, double end_z)
    : base_z_(p.platform_thickness_mm), extent_(fillet_extent(p.edge_radius_mm)) {
  growth_ = growth(base_z_, p.ball_height_mm, end_z,
                   {std::min(p.plan_taper, p.profile_taper), std::max(p.plan_taper, p.profile_taper)});
  end_v_ = v_of_z(end_z);
}

double Profile::v_of_z(double z) const { return 1 + (z - base_z_ - extent_) / (5 * fillet_a * extent_); }

Profile::At Profile::at(double v) const {
  At at;
  if (v < 1) {
    const Jet out = fillet_out(v), back = fillet_out(1 - v);
    at.outset = {extent_ * out.value, extent_ * out.first, extent_ * out.second};
    // The curve is its own mirror image about the diagonal.
    at.z = {base_z_ + extent_ * (1 - back.value), extent_ * back.first, -extent_ * back.second};
  } else {
    at.outset.value = extent_;
    at.z = {base_z_ + extent_ * (1 + 5 * fillet_a * (v - 1)), 5 * fillet_a * extent_, 0};
  }
  SplinePair::Pair value, slope, bend;
  growth_.evaluate(at.z.value, value, slope, bend);
  bend = bend * (at.z.first * at.z.first) + slope * at.z.second;
  slope *= at.z.first;
  at.fast = {value[0], slope[0], bend[0]};
  at.slow = {value[1], slope[1], bend[1]};
  return at;
}

}  // namespace aplomb::shoe
