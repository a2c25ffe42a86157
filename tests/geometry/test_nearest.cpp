// Nearest neighbours against looking at every point.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

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
    const double radius = 0.5 + 0.02 * k;
    tree.within(to, radius, found);
    std::sort(found.begin(), found.end(),
              [](const Neighbour& a, const Neighbour& b) { return a.squared_distance < b.squared_distance; });
    const auto inside = std::count_if(all.begin(), all.end(), [&](const auto& p) { return p.first < radius * radius; });
    REQUIRE(static_cast<std::ptrdiff_t>(found.size()) == inside);
    for (std::size_t i = 0; i < found.size(); ++i) CHECK(found[i].index == all[i].second);
  }
  NearestPoints().within(Vec3::Zero(), 5, found);
  CHECK(found.empty());
}
