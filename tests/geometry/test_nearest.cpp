// Nearest neighbours against looking at every point.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "aplomb/geometry/cells.h"
#include "aplomb/geometry/nearest.h"

using namespace aplomb::geometry;

TEST_CASE("nearest points are those that looking at every one finds") {
  std::mt19937 random(1);
  std::uniform_real_distribution<double> u(-10, 10);
  std::vector<Vec3> points;
  for (int i = 0; i < 3000; ++i) points.emplace_back(u(random), u(random), u(random));
  const NearestPoints tree(points);
  std::vector<Neighbour> found;
  for (int k = 0; k < 200; ++k) {
    const Vec3 to(1.2 * u(random), 1.2 * u(random), 1.2 * u(random));
    std::vector<std::pair<double, int>> all;
    for (int i = 0; i < 3000; ++i) all.emplace_back((points[static_cast<std::size_t>(i)] - to).squaredNorm(), i);
    std::sort(all.begin(), all.end());
    CHECK(tree.nearest(to).index == all[0].second);
    tree.nearest(to, 7, found);
    REQUIRE(found.size() == 7);
    for (std::size_t i = 0; i < 7; ++i) CHECK(found[i].index == all[i].second);
  }
}

TEST_CASE("points within a reach are those that looking at every one finds") {
  std::mt19937 random(2);
  std::uniform_real_distribution<double> u(-10, 10);
  std::vector<Vec3> points;
  for (int i = 0; i < 3000; ++i) points.emplace_back(u(random), 3 + u(random), 0.1 * u(random));
  std::vector<Neighbour> found;
  for (const double width : {0.01, 0.7, 3.0, 100.0}) {  // the first would be more cells than there are points
    const PointCells cells(points, width);
    for (int k = 0; k < 100; ++k) {
      const Vec3 to(1.2 * u(random), 3 + 1.2 * u(random), 0.2 * u(random));
      const double radius = 0.5 + 0.04 * k;
      std::vector<Neighbour> all;
      for (int i = 0; i < 3000; ++i) {
        const double squared = (points[static_cast<std::size_t>(i)] - to).squaredNorm();
        if (squared < radius * radius) all.push_back({i, squared});
      }
      cells.within(to, radius, found);
      std::sort(all.begin(), all.end(), nearer);
      std::sort(found.begin(), found.end(), nearer);
      REQUIRE(found.size() == all.size());
      for (std::size_t i = 0; i < found.size(); ++i) CHECK(found[i].index == all[i].index);
    }
  }
  PointCells({}, 1).within(Vec3::Zero(), 5, found);
  CHECK(found.empty());
  PointCells({Vec3(1, 2, 3), Vec3(1, 2, 3)}, 1).within(Vec3(1, 2, 3.5), 1, found);
  CHECK(found.size() == 2);
}
