// Building the patch from sections and finding closest points on it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "wall_patch.h"

#include <cmath>

#include "section.h"

namespace aplomb::shoe {

namespace {

// Fourth-order interpolation between the directions of a section; `position` in directions, any real number >= 0.
template <class T>
T between(const std::vector<T>& samples, double position) {
  const int count = static_cast<int>(samples.size());
  const int i = static_cast<int>(std::floor(position));
  const double t = position - i;
  const auto at = [&](int k) -> const T& { return samples[(i + k + count) % count]; };
  return at(-1) * (-t * (t - 1) * (t - 2) / 6) + at(0) * ((t + 1) * (t - 1) * (t - 2) / 2) +
         at(1) * (-(t + 1) * t * (t - 2) / 2) + at(2) * ((t + 1) * t * (t - 1) / 6);
}

// Directions (as positions in a section) that divide the mean section into equal arcs; symmetric by construction.
std::vector<double> even_directions(const std::vector<double>& radius) {
  const int half = section_directions / 2;
  std::vector<double> arc(half + 1, 0.0);
  for (int i = 0; i < half; ++i) arc[i + 1] = arc[i] + 0.5 * (radius[i] + radius[i + 1]);
  std::vector<double> directions(patch_period);
  int i = 0;
  for (int k = 0; k <= patch_period / 2; ++k) {
    const double wanted = arc[half] * k / (patch_period / 2);
    while (i + 1 < half && arc[i + 1] < wanted) ++i;
    directions[k] = i + (wanted - arc[i]) / (arc[i + 1] - arc[i]);
    if (k > 0 && k < patch_period / 2) directions[patch_period - k] = section_directions - directions[k];
  }
  return directions;
}

}  // namespace

std::optional<WallPatch> WallPatch::make(const ShoeParameters& p, double end_z) {
  WallPatch patch;
  patch.profile_ = Profile(p, end_z);
  patch.base_z_ = p.platform_thickness_mm;
  patch.lean_ = std::tan(p.platform_tilt_deg * geometry::rad_per_deg);

  const double edge = patch.profile_.extent_mm();
  const double sole_exponent = p.squareness * (1 + 1.5 * p.sole_flatness);
  const bool breadth_first = p.plan_taper <= p.profile_taper;
  SectionShape flat{p.platform_height_mm / 2, p.platform_breadth_mm / 2, p.squareness, p.squareness};
  SectionShape ball{p.crown_height_mm / 2 - edge, p.ball_breadth_mm / 2 - edge, p.squareness, sole_exponent};
  SectionShape middle = ball;
  (breadth_first ? middle.half_height_mm : middle.half_breadth_mm) =
      breadth_first ? flat.half_height_mm : flat.half_breadth_mm;
  const auto flat_section = make_section(flat), ball_section = make_section(ball),
             middle_section = make_section(middle);
  if (!flat_section || !ball_section || !middle_section) return std::nullopt;

  std::vector<double> mean_radius(section_directions);
  for (int i = 0; i < section_directions; ++i)
    mean_radius[i] = edge + 0.5 * (flat_section->radius_mm[i] + ball_section->radius_mm[i]);
  std::vector<PeriodicSpline<8>::Value> samples;
  for (const double direction : even_directions(mean_radius)) {
    const double angle = 2 * geometry::pi * direction / section_directions;
    const Vec2 f = between(flat_section->points, direction), m = between(middle_section->points, direction),
               b = between(ball_section->points, direction);
    PeriodicSpline<8>::Value value;
    value << f.x(), f.y(), std::cos(angle), std::sin(angle), m.x() - f.x(), m.y() - f.y(), b.x() - m.x(), b.y() - m.y();
    samples.push_back(value);
  }
  patch.around_ = PeriodicSpline<8>(samples);
  return patch;
}

WallPatch::Jet2 WallPatch::at(double u, double v) const {
  PeriodicSpline<8>::Value f, fu, fuu;
  around_.evaluate(u, f, fu, fuu);
  const Profile::At g = profile_.at(v);
  const auto mix = [](const PeriodicSpline<8>::Value& c, double flat, double outset, double fast, double slow) -> Vec2 {
    return {flat * c[0] + outset * c[2] + fast * c[4] + slow * c[6],
            flat * c[1] + outset * c[3] + fast * c[5] + slow * c[7]};
  };
  const auto lift = [](const Vec2& xy, double z) { return Vec3(xy.x(), xy.y(), z); };
  Jet2 jet;
  jet.p = lift(mix(f, 1, g.outset.value, g.fast.value, g.slow.value), g.z.value);
  jet.u = lift(mix(fu, 1, g.outset.value, g.fast.value, g.slow.value), 0);
  jet.uu = lift(mix(fuu, 1, g.outset.value, g.fast.value, g.slow.value), 0);
  jet.v = lift(mix(f, 0, g.outset.first, g.fast.first, g.slow.first), g.z.first);
  jet.uv = lift(mix(fu, 0, g.outset.first, g.fast.first, g.slow.first), 0);
  jet.vv = lift(mix(f, 0, g.outset.second, g.fast.second, g.slow.second), g.z.second);
  jet.p.x() += lean_ * (g.z.value - base_z_);
  jet.v.x() += lean_ * g.z.first;
  jet.vv.x() += lean_ * g.z.second;
  return jet;
}

Vec3 WallPatch::position(double u, double v) const { return at(u, v).p; }

WallPatch::Foot WallPatch::project(const Vec3& x, double u, double v) const {
  constexpr double done_mm = 1e-4;  // quadratic convergence: what is left is its square over a radius, below 1e-8
  constexpr double stride_mm = 12;
  const double end_v = profile_.end_v();
  Foot foot{u, v, at(u, v), false};
  double squared = (foot.jet.p - x).squaredNorm();
  for (int iteration = 0; iteration < 40; ++iteration) {
    const Jet2& j = foot.jet;
    const Vec3 r = j.p - x;
    const double fu = r.dot(j.u), fv = r.dot(j.v);
    double guu = j.u.squaredNorm(), guv = j.u.dot(j.v), gvv = j.v.squaredNorm();
    const double huu = guu + r.dot(j.uu), huv = guv + r.dot(j.uv), hvv = gvv + r.dot(j.vv);
    // Where the distance is not convex (clear points past a centre of curvature) the metric alone still goes downhill.
    const bool convex = huu > 0.05 * guu && huu * hvv - huv * huv > 0.05 * (guu * gvv - guv * guv);
    if (convex) guu = huu, guv = huv, gvv = hvv;
    const double det = guu * gvv - guv * guv;
    double du = -(gvv * fu - guv * fv) / det, dv = -(guu * fv - guv * fu) / det;
    // The flat's edge and the far end are walls for v: slide along them.
    const bool held = (foot.v <= 0 && dv < 0) || (foot.v >= end_v && dv > 0);
    if (held) du = -fu / guu, dv = 0;
    double step = (du * j.u + dv * j.v).norm();
    if (step > stride_mm) du *= stride_mm / step, dv *= stride_mm / step, step = stride_mm;
    const double old_u = foot.u, old_v = foot.v;
    for (int halving = 0;; ++halving) {
      foot.u = old_u + du;
      foot.v = std::clamp(old_v + dv, 0.0, end_v);
      foot.jet = at(foot.u, foot.v);
      const double now = (foot.jet.p - x).squaredNorm();
      if (now <= squared * (1 + 1e-14) + 1e-18 || step < 1e-3 || halving == 12) {
        squared = now;
        break;
      }
      du /= 2, dv /= 2, step /= 2;
    }
    if (step < done_mm) break;
  }
  foot.on_flat = foot.v <= 0 && (foot.jet.p - x).dot(foot.jet.v) >= 0;
  return foot;
}

}  // namespace aplomb::shoe
