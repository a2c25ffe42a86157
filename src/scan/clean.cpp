// A floor is told from a flat sole by where it ends: under a sole there is always foot.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "clean.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>
#include <unordered_map>
#include <unordered_set>

namespace aplomb::scan {

namespace {

using geometry::Mat3;

constexpr double plane_share = 0.12;       // of all there is, to be looked at as a floor
constexpr double even_share = 0.01;        // of the scan's extent: cells in which points are counted once
constexpr double tolerance_share = 0.004;  // of the scan's extent: half the thickness of a floor
constexpr double near_share = 0.06;        // of the largest part's extent: as near as a toe is to its foot
constexpr double crumb_share = 0.08;       // of the largest part

double extent_of(const std::vector<Vec3>& points) {
  Vec3 low = points.front(), high = low;
  for (const Vec3& p : points) low = low.cwiseMin(p), high = high.cwiseMax(p);
  return (high - low).norm();
}

using Cell = std::uint64_t;
Cell cell_at(int i, int j, int k = 0) {
  const auto part = [](int n) { return static_cast<Cell>(n + (1 << 20)) & 0x1fffff; };
  return part(i) << 42 | part(j) << 21 | part(k);
}

/// One of the points in each cell: a crumpled net has many to a square millimetre where another has one, and a floor is
/// told by how much room it takes.
std::vector<Vec3> one_a_cell(const std::vector<Vec3>& points, double cell) {
  std::unordered_set<Cell> taken;
  std::vector<Vec3> out;
  const Vec3 origin = points.front();
  for (const Vec3& p : points) {
    const Vec3 at = (p - origin) / cell;
    if (taken
            .insert(cell_at(static_cast<int>(std::floor(at.x())), static_cast<int>(std::floor(at.y())),
                            static_cast<int>(std::floor(at.z()))))
            .second)
      out.push_back(p);
  }
  return out;
}

/// The plane with the most of the points within `tolerance`, by random triples, then by least squares.
struct Plane {
  Vec3 normal = Vec3::UnitZ();
  double offset = 0;
  std::size_t count = 0;
};

Plane best_plane(const std::vector<Vec3>& points, const std::vector<Vec3>& even, double tolerance, std::uint64_t seed) {
  std::vector<Vec3> few;
  const std::size_t step = std::max<std::size_t>(1, even.size() / 2000);
  for (std::size_t i = 0; i < even.size(); i += step) few.push_back(even[i]);
  std::mt19937_64 random(seed);
  Plane best;
  for (int trial = 0; trial < 300; ++trial) {
    const Vec3 &a = few[random() % few.size()], &b = few[random() % few.size()], &c = few[random() % few.size()];
    const Vec3 n = (b - a).cross(c - a);
    if (!(n.norm() > 0)) continue;
    Plane plane{n.normalized(), n.normalized().dot(a), 0};
    for (const Vec3& p : few) plane.count += std::abs(plane.normal.dot(p) - plane.offset) < tolerance ? 1 : 0;
    if (plane.count > best.count) best = plane;
  }
  for (int round = 0; round < 2; ++round) {
    Vec3 mean = Vec3::Zero();
    Mat3 scatter = Mat3::Zero();
    std::size_t count = 0;
    for (const Vec3& p : points)
      if (std::abs(best.normal.dot(p) - best.offset) < tolerance) mean += p, ++count;
    if (count < 3) return best;
    mean /= static_cast<double>(count);
    for (const Vec3& p : points)
      if (std::abs(best.normal.dot(p) - best.offset) < tolerance) scatter += (p - mean) * (p - mean).transpose();
    const Eigen::SelfAdjointEigenSolver<Mat3> solver(scatter);
    best = {solver.eigenvectors().col(0), solver.eigenvectors().col(0).dot(mean), count};
  }
  return best;
}

/// Share of the plane's cells over which, and beside which, there is nothing else.
double overhang(const std::vector<Vec3>& points, const Plane& plane, double tolerance, double cell) {
  const Vec3 u = plane.normal.unitOrthogonal(), v = plane.normal.cross(u);
  std::unordered_set<Cell> flat, covered;
  for (const Vec3& p : points) {
    const int i = static_cast<int>(std::floor(u.dot(p) / cell)), j = static_cast<int>(std::floor(v.dot(p) / cell));
    if (std::abs(plane.normal.dot(p) - plane.offset) < 1.5 * tolerance) {
      flat.insert(cell_at(i, j));
    } else {
      for (int di = -1; di <= 1; ++di)
        for (int dj = -1; dj <= 1; ++dj) covered.insert(cell_at(i + di, j + dj));
    }
  }
  std::size_t bare = 0;
  for (const Cell c : flat) bare += covered.contains(c) ? 0 : 1;
  return flat.empty() ? 0 : static_cast<double>(bare) / static_cast<double>(flat.size());
}

Cloud picked(const Cloud& cloud, const std::vector<int>& at) {
  Cloud out;
  out.oriented = cloud.oriented;
  for (const int i : at) {
    out.points.push_back(cloud.points[i]);
    if (!cloud.normals.empty()) out.normals.push_back(cloud.normals[i]);
  }
  return out;
}

/// Takes a floor away when there is one; what is left lies on its upper side.
std::optional<Floor> take_floor(Cloud& cloud, std::uint64_t seed, double bare_floor, double& bare_share) {
  const double extent = extent_of(cloud.points), tolerance = tolerance_share * extent;
  const std::vector<Vec3> even = one_a_cell(cloud.points, even_share * extent);
  const Plane plane = best_plane(cloud.points, even, tolerance, seed);
  const auto flat = std::count_if(even.begin(), even.end(), [&](const Vec3& p) {
    return std::abs(plane.normal.dot(p) - plane.offset) < tolerance;
  });
  if (static_cast<double>(flat) < plane_share * static_cast<double>(even.size())) return std::nullopt;
  bare_share = overhang(cloud.points, plane, tolerance, 0.02 * extent);
  if (bare_share < bare_floor) return std::nullopt;
  std::vector<double> off;
  std::size_t above = 0, below = 0;
  for (const Vec3& p : cloud.points) {
    const double h = plane.normal.dot(p) - plane.offset;
    if (std::abs(h) < tolerance)
      off.push_back(std::abs(h));
    else
      ++(h > 0 ? above : below);
  }
  std::nth_element(off.begin(), off.begin() + static_cast<std::ptrdiff_t>(off.size() / 2), off.end());
  const double thick = std::clamp(6 * off[off.size() / 2], 0.3 * tolerance, 1.5 * tolerance);
  Floor floor{plane.normal, plane.offset};
  if (below > above) floor = {-plane.normal, -plane.offset};
  std::vector<int> kept;
  for (std::size_t i = 0; i < cloud.points.size(); ++i)
    if (floor.up.dot(cloud.points[i]) - floor.height > thick) kept.push_back(static_cast<int>(i));
  if (kept.size() < 200) return std::nullopt;
  cloud = picked(cloud, kept);
  return floor;
}

std::vector<std::vector<int>> components(const std::vector<Vec3>& points, double cell) {
  std::unordered_map<Cell, int> cells;
  std::vector<std::array<int, 3>> place;
  std::vector<int> cell_of(points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    std::array<int, 3> at;
    for (int k = 0; k < 3; ++k) at[k] = static_cast<int>(std::floor(points[i][k] / cell));
    const auto [found, fresh] = cells.try_emplace(cell_at(at[0], at[1], at[2]), static_cast<int>(place.size()));
    if (fresh) place.push_back(at);
    cell_of[i] = found->second;
  }
  std::vector<int> root(place.size());
  std::iota(root.begin(), root.end(), 0);
  const auto find = [&root](int a) {
    while (root[a] != a) a = root[a] = root[root[a]];
    return a;
  };
  for (std::size_t c = 0; c < place.size(); ++c)
    for (int di = -1; di <= 1; ++di)
      for (int dj = -1; dj <= 1; ++dj)
        for (int dk = -1; dk <= 1; ++dk) {
          const auto found = cells.find(cell_at(place[c][0] + di, place[c][1] + dj, place[c][2] + dk));
          if (found == cells.end()) continue;
          const int a = find(static_cast<int>(c)), b = find(found->second);
          root[std::max(a, b)] = std::min(a, b);
        }
  std::vector<std::vector<int>> parts(place.size());
  for (std::size_t i = 0; i < points.size(); ++i) parts[find(cell_of[i])].push_back(static_cast<int>(i));
  std::stable_sort(parts.begin(), parts.end(), [](const auto& a, const auto& b) { return a.size() > b.size(); });
  return parts;
}

}  // namespace

CleanScan clean(const Cloud& cloud, std::uint64_t seed, double bare_floor) {
  CleanScan out;
  Cloud rest = cloud;
  out.floor = take_floor(rest, seed, bare_floor, out.bare_share);
  // The origin of the cells goes with the scan, so that a far-off origin does not cost digits.
  const Vec3 origin = rest.points.front();
  std::vector<Vec3> centred = rest.points;
  for (Vec3& p : centred) p -= origin;
  const geometry::NearestPoints tree(centred);
  const double cell = std::max(3.5 * typical_spacing(centred, tree), 0.008 * extent_of(centred));
  if (!(cell > 0)) return out;
  // A toe cut off by a hole is part of the foot: crumbs near the largest part stay with it.
  std::optional<geometry::NearestPoints> largest;
  double reach = 0;
  for (const auto& part : components(centred, cell)) {
    if (out.parts.empty()) {
      std::vector<Vec3> points;
      for (const int i : part) points.push_back(centred[i]);
      reach = near_share * extent_of(points);
      largest.emplace(points);
    } else if (static_cast<double>(part.size()) < crumb_share * static_cast<double>(out.parts.front().points.size())) {
      Cloud& main = out.parts.front();
      for (const int i : part) {
        if (part.size() < 8 || largest->nearest(centred[i], reach * reach).index < 0) {
          ++out.crumbs;
          continue;
        }
        main.points.push_back(rest.points[i]);
        if (!rest.normals.empty()) main.normals.push_back(rest.normals[i]);
      }
      continue;
    }
    out.parts.push_back(picked(rest, part));
  }
  return out;
}

}  // namespace aplomb::scan
