// Hull by Andrew's monotone chain; inside by crossing count.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/geometry/polygon.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace aplomb::geometry {

namespace {

double cross(const Vec2& a, const Vec2& b) { return a.x() * b.y() - a.y() * b.x(); }

}  // namespace

Polygon convex_hull(std::vector<Vec2> points) {
  std::sort(points.begin(), points.end(),
            [](const Vec2& a, const Vec2& b) { return a.x() != b.x() ? a.x() < b.x() : a.y() < b.y(); });
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) return points;
  Polygon hull(2 * points.size());
  std::size_t size = 0;
  const auto add = [&](const Vec2& p, std::size_t floor) {
    while (size > floor && cross(hull[size - 1] - hull[size - 2], p - hull[size - 1]) <= 0) --size;
    hull[size++] = p;
  };
  for (const Vec2& p : points) add(p, 1);
  const std::size_t lower = size;
  for (std::size_t i = points.size() - 1; i-- > 0;) add(points[i], lower);
  hull.resize(size - 1);
  return hull;
}

double perimeter(const Polygon& polygon) {
  double sum = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) sum += (polygon[(i + 1) % polygon.size()] - polygon[i]).norm();
  return sum;
}

double hull_perimeter(const std::vector<Vec2>& points) { return perimeter(convex_hull(points)); }

double signed_area(const Polygon& polygon) {
  double sum = 0;
  for (std::size_t i = 1; i + 1 < polygon.size(); ++i)
    sum += cross(polygon[i] - polygon[0], polygon[i + 1] - polygon[0]);
  return sum / 2;
}

PolygonDistance distance_to(const Polygon& polygon, const Vec2& point) {
  PolygonDistance result;
  double best = std::numeric_limits<double>::infinity();
  bool inside = false;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Vec2& a = polygon[i];
    const Vec2& b = polygon[(i + 1) % polygon.size()];
    const Vec2 edge = b - a;
    const double squared = edge.squaredNorm();
    const double t = squared > 0 ? std::clamp(edge.dot(point - a) / squared, 0.0, 1.0) : 0.0;
    const Vec2 foot = a + t * edge;
    if (const double d = (point - foot).squaredNorm(); d < best) {
      best = d;
      result.closest = foot;
    }
    if ((a.y() > point.y()) != (b.y() > point.y()) && point.x() < a.x() + edge.x() * (point.y() - a.y()) / edge.y())
      inside = !inside;
  }
  result.distance_mm = inside ? std::sqrt(best) : -std::sqrt(best);
  return result;
}

}  // namespace aplomb::geometry
