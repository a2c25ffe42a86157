// Sections are designed through their support function: every section is then convex, and adding sections normal by
// normal (Minkowski sums) keeps a tube of them convex too, which mixing superellipses point by point would not.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "section.h"

#include <Eigen/LU>
#include <algorithm>
#include <array>
#include <cmath>

namespace aplomb::shoe {

namespace {

constexpr int count = section_directions;
using Samples = std::vector<double>;

constexpr double step_rad = 2 * geometry::pi / count;

/// Of the angle of each direction.
struct Waves {
  std::array<double, count> cos1, sin1, cos2;
  Waves() {
    for (int i = 0; i < count; ++i) {
      const auto k = static_cast<std::size_t>(i);
      cos1[k] = std::cos(step_rad * i), sin1[k] = std::sin(step_rad * i), cos2[k] = std::cos(2 * step_rad * i);
    }
  }
};
const Waves& waves() {
  static const Waves once;
  return once;
}

// Radius of curvature h + h'' of a softened superellipse: the support function of |x/a|^n + |y/b|^n = 1 is the dual
// norm with exponent n/(n-1); replacing the two terms by elliptic norms bends its flats and keeps it convex.
Samples superellipse(double half_height, double half_breadth, double exponent) {
  constexpr double softening = 0.2;
  const double m = exponent / (exponent - 1);
  // Axes that give the wanted extents in spite of the softening (linear in their m-th powers).
  const double on = std::pow(1 + softening * softening, m / 2), off = std::pow(softening, m);
  const double hx = std::pow(half_height, m), hy = std::pow(half_breadth, m), det = on * on - off * off;
  const double a = std::pow(std::max((on * hx - off * hy) / det, 0.05 * hx), 1 / m);
  const double b = std::pow(std::max((on * hy - off * hx) / det, 0.05 * hy), 1 / m);
  Samples support(count), radius(count);
  for (int i = 0; i < count; ++i) {
    const double c = waves().cos1[i], s = waves().sin1[i], e2 = softening * softening;
    support[i] = std::pow(std::pow(a * a * (c * c + e2), m / 2) + std::pow(b * b * (s * s + e2), m / 2), 1 / m);
  }
  const double h = step_rad;
  for (int i = 0; i < count; ++i) {
    const auto at = [&](int k) { return support[(i + k + count) % count]; };
    // Second difference of fourth order.
    const double bend = (-at(-2) + 16 * at(-1) - 30 * at(0) + 16 * at(1) - at(2)) / (12 * h * h);
    radius[i] = support[i] + bend;
  }
  return radius;
}

// Points from radii: dP = radius (-sin, cos) d angle, by a rule of fourth order.
std::vector<Vec2> integrate(const Samples& radius) {
  const auto slope = [&](int i) -> Vec2 {
    i = (i + count) % count;
    return radius[i] * Vec2(-waves().sin1[i], waves().cos1[i]);
  };
  std::vector<Vec2> points(count, Vec2::Zero());
  for (int i = 0; i + 1 < count; ++i)
    points[i + 1] = points[i] + step_rad / 24 * (-slope(i - 1) + 13 * slope(i) + 13 * slope(i + 1) - slope(i + 2));
  return points;
}

// Half breadth on the dorsal side, on the plantar side, and height.
Eigen::Vector3d extents(const Samples& radius) {
  const auto p = integrate(radius);
  return {p[count / 4].y() - p[0].y(), p[count / 4].y() - p[count / 2].y(), p[0].x() - p[count / 2].x()};
}

}  // namespace

std::optional<Section> make_section(const SectionShape& shape) {
  const Samples dorsal = superellipse(shape.half_height_mm, shape.half_breadth_mm, shape.dorsal_exponent);
  const Samples sole = superellipse(shape.half_height_mm, shape.half_breadth_mm, shape.sole_exponent);
  Samples mixed(count);
  for (int i = 0; i < count; ++i) {
    const double t = std::clamp(0.5 + waves().cos1[i], 0.0, 1.0);
    const double share = t * t * t * t * (35 + t * (-84 + t * (70 - 20 * t)));  // C3 step across the two sides
    mixed[i] = share * dorsal[i] + (1 - share) * sole[i];
  }
  // Small factors in cos and cos 2 of the angle close the curve and set its extents exactly.
  Eigen::Matrix3d response;
  for (int k = 0; k < 3; ++k) {
    Samples part(count);
    for (int i = 0; i < count; ++i) part[i] = mixed[i] * (k == 0 ? 1 : k == 1 ? waves().cos1[i] : waves().cos2[i]);
    response.col(k) = extents(part);
  }
  const Eigen::Vector3d factor = response.partialPivLu().solve(
      Eigen::Vector3d(shape.half_breadth_mm, shape.half_breadth_mm, 2 * shape.half_height_mm));
  Section section;
  section.radius_mm.resize(count);
  for (int i = 0; i < count; ++i) {
    section.radius_mm[i] = mixed[i] * (factor[0] + factor[1] * waves().cos1[i] + factor[2] * waves().cos2[i]);
    if (!(section.radius_mm[i] > 0)) return std::nullopt;
  }
  section.points = integrate(section.radius_mm);
  const double top = section.points[0].x() - shape.half_height_mm;
  for (Vec2& p : section.points) p.x() -= top;
  return section;
}

}  // namespace aplomb::shoe
