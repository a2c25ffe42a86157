// Plane sections, hulls and polygon distances against shapes with known answers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <random>

#include "aplomb/geometry/polygon.h"
#include "aplomb/geometry/section.h"
#include "shapes.h"

using namespace aplomb::geometry;

TEST_CASE("a sphere is cut in one circle of the right girth", "[core]") {
  const double height = GENERATE(-2.1, 0.0, 1e-13, 1.7);
  const auto lines = plane_section(test::sphere(3, 60), {0, 0, height}, {0, 0, 2});
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].closed);
  CHECK(length(lines[0]) == Approx(2 * pi * std::sqrt(9 - height * height)).epsilon(2e-3));
  const auto flat = flatten(lines[0].points, {0, 0, height}, Vec3::UnitX(), Vec3::UnitZ());
  CHECK(signed_area(flat) == Approx(pi * (9 - height * height)).epsilon(5e-3));  // > 0: anticlockwise round the solid
  CHECK(hull_perimeter(flat) == Approx(length(lines[0])).epsilon(1e-12));
}

TEST_CASE("a plane through vertices and edges still gives closed lines", "[core]") {
  const TriMesh box = test::box({0, 0, 0}, {1, 1, 1});
  const auto diagonal = plane_section(box, {0, 0, 0}, {1, -1, 0});
  REQUIRE(diagonal.size() == 1);
  CHECK(diagonal[0].closed);
  CHECK(length(diagonal[0]) == Approx(2 + 2 * std::sqrt(2.0)));
  CHECK(plane_section(box, {0, 0, 1.5}, Vec3::UnitZ()).empty());
}

TEST_CASE("an open mesh is cut in an open line, two bodies in two", "[core]") {
  TriMesh open = test::box({0, 0, 0}, {1, 1, 1});
  open.faces.erase(open.faces.begin() + 4, open.faces.begin() + 6);  // the side y = 0
  const auto line = plane_section(open, {0, 0, 0.5}, Vec3::UnitZ());
  REQUIRE(line.size() == 1);
  CHECK_FALSE(line[0].closed);
  CHECK(length(line[0]) == Approx(3));

  TriMesh two = test::sphere(1, 10);
  const TriMesh other = test::box({3, -1, -1}, {5, 1, 1});
  const int shift = static_cast<int>(two.vertices.size());
  two.vertices.insert(two.vertices.end(), other.vertices.begin(), other.vertices.end());
  for (const auto& f : other.faces) two.faces.push_back({f[0] + shift, f[1] + shift, f[2] + shift});
  CHECK(plane_section(two, {0, 0, 0.1}, Vec3::UnitZ()).size() == 2);
}

TEST_CASE("the hull of many points holds them all and is no longer than any fence", "[core]") {
  std::mt19937 random(3);
  std::normal_distribution<double> normal;
  std::vector<Vec2> points;
  for (int i = 0; i < 300; ++i) points.emplace_back(normal(random), 2 * normal(random));
  points.push_back(points[0]);
  const Polygon hull = convex_hull(points);
  CHECK(signed_area(hull) > 0);
  for (const Vec2& p : points) CHECK(distance_to(hull, p).distance_mm > -1e-12);
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Vec2 a = hull[(i + 1) % hull.size()] - hull[i], b = hull[(i + 2) % hull.size()] - hull[(i + 1) % hull.size()];
    CHECK(a.x() * b.y() - a.y() * b.x() > 0);
  }
  CHECK(hull_perimeter({{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0.5, 0.5}, {0.5, 0}}) == Approx(4));
  CHECK(convex_hull({{1, 1}, {1, 1}}).size() == 1);
}

TEST_CASE("signed distance to a rectangle, both windings, on corners and edges", "[core]") {
  Polygon rectangle{{-2, -1}, {2, -1}, {2, 1}, {-2, 1}};
  if (GENERATE(false, true)) std::reverse(rectangle.begin(), rectangle.end());
  CHECK(distance_to(rectangle, {0, 0}).distance_mm == Approx(1));
  CHECK(distance_to(rectangle, {1.5, 0.2}).distance_mm == Approx(0.5));
  CHECK(distance_to(rectangle, {1.5, 0.2}).closest.isApprox(Vec2(2, 0.2)));
  CHECK(distance_to(rectangle, {3, 2}).distance_mm == Approx(-std::sqrt(2.0)));
  CHECK(distance_to(rectangle, {2, 1}).distance_mm == Approx(0).margin(1e-15));
  CHECK(distance_to(rectangle, {-5, -1}).distance_mm == Approx(-3));  // level with an edge
}
