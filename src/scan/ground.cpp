// SPDX-License-Identifier: GPL-3.0-or-later
#include "ground.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace aplomb::scan {

namespace {

/// The middle of what stands, from the heel, in lengths: the weight of a standing person falls there (common practice,
/// no source); any point between heel and ball gives the same plane.
constexpr double middle = 0.42;
constexpr double heel_to = 0.22, ball_from = 0.62, ball_to = 0.82;
constexpr double band_mm = 15;       // points so near the floor may be touched
constexpr double most_slope = 0.12;  // 7 degrees: more than a fit of the whole foot errs
constexpr double most_height_mm = 6;
constexpr std::size_t least_points = 30;  // of heel and of ball, near the plane
/// So many points may lie below by noise.
constexpr std::size_t below = 5;
constexpr double on_ground_mm = 1;
/// A scan whose midfoot lies on the floor by this share of its plan was closed there; of a foot's, arch and edges are
/// clear [guess].
constexpr double closed_share = 0.8, midfoot_from = 0.35, midfoot_to = 0.58;

/// The plane z = slope . (x, y) + height over the floor of the fit.
struct Tilt {
  double a = 0, b = 0, height = 0;
  double at(const Vec3& p) const { return p.z() - a * p.x() - b * p.y(); }
};

/// How high the plane of slopes a, b lies at the middle when it touches the points from below.
double touching(const std::vector<Vec3>& points, double a, double b, std::vector<double>& heights) {
  const Tilt tilt{a, b, 0};
  heights.clear();
  for (const Vec3& p : points) heights.push_back(tilt.at(p));
  const auto k = heights.begin() + static_cast<std::ptrdiff_t>(std::min(below, heights.size() - 1));
  std::nth_element(heights.begin(), k, heights.end());
  return *k;
}

/// Where a function that rises and then falls is highest.
template <class F>
double peak_of(const F& f, double from, double to) {
  constexpr double golden = 0.6180339887498949;
  double low = from, high = to, x = high - golden * (high - low), y = low + golden * (high - low);
  double fx = f(x), fy = f(y);
  while (high - low > 1e-4) {
    if (fx > fy) {
      high = y, y = x, fy = fx, x = high - golden * (high - low), fx = f(x);
    } else {
      low = x, x = y, fx = fy, y = low + golden * (high - low), fy = f(y);
    }
  }
  return (low + high) / 2;
}

}  // namespace

std::optional<Ground> rest_plane(const Cloud& all, const geometry::Isometry& T_foot_scan, double length_mm) {
  std::vector<Vec3> low;
  for (const Vec3& p : all.points) {
    const Vec3 x = T_foot_scan * p;
    if (std::abs(x.z()) < band_mm && x.x() > -0.1 * length_mm && x.x() < 1.1 * length_mm &&
        std::abs(x.y()) < 0.35 * length_mm)
      low.emplace_back(x.x() - middle * length_mm, x.y(), x.z());
  }
  if (low.size() < 4 * least_points) return std::nullopt;
  // Of all planes under the points the one that they rest on is highest below their middle; as a function of the slopes
  // that height is concave, so one slope after the other finds it.
  std::vector<double> heights;
  Tilt rest;
  rest.a = peak_of(
      [&](double a) {
        return touching(
            low, a, peak_of([&](double b) { return touching(low, a, b, heights); }, -most_slope, most_slope), heights);
      },
      -most_slope, most_slope);
  rest.b = peak_of([&](double b) { return touching(low, rest.a, b, heights); }, -most_slope, most_slope);
  rest.height = touching(low, rest.a, rest.b, heights);
  if (std::abs(rest.a) > 0.95 * most_slope || std::abs(rest.b) > 0.95 * most_slope ||
      std::abs(rest.height) > most_height_mm)
    return std::nullopt;
  std::size_t heel = 0, ball = 0;
  for (const Vec3& p : low) {
    if (rest.at(p) - rest.height > 2.5) continue;
    const double x = p.x() / length_mm + middle;
    heel += x < heel_to ? 1 : 0;
    ball += x > ball_from && x < ball_to ? 1 : 0;
  }
  if (heel < least_points || ball < least_points) return std::nullopt;
  const geometry::Isometry T_scan_foot = T_foot_scan.inverse();
  Ground ground;
  ground.up = (T_scan_foot.linear() * Vec3(-rest.a, -rest.b, 1)).normalized();
  ground.middle = T_scan_foot * Vec3(middle * length_mm, 0, rest.height);
  ground.reach_mm = length_mm / 3;
  return ground;
}

bool near_floor(const Ground& ground, const geometry::Isometry& T_foot_scan) {
  const Vec3 up = T_foot_scan.linear() * ground.up;
  return up.head<2>().norm() < most_slope && up.z() > 0 && std::abs((T_foot_scan * ground.middle).z()) < most_height_mm;
}

bool closed_by_ground(const Cloud& all, const geometry::Isometry& T_foot_scan, double length_mm) {
  constexpr double cell_mm = 5;
  std::map<std::array<int, 2>, double> lowest;
  for (const Vec3& p : all.points) {
    const Vec3 x = T_foot_scan * p;
    if (x.z() > band_mm || x.x() < midfoot_from * length_mm || x.x() > midfoot_to * length_mm) continue;
    const std::array cell{static_cast<int>(std::floor(x.x() / cell_mm)), static_cast<int>(std::floor(x.y() / cell_mm))};
    const auto [at, fresh] = lowest.try_emplace(cell, x.z());
    at->second = std::min(at->second, x.z());
  }
  // Cells of the edge hold the sides of the foot.
  std::size_t inner = 0, flat = 0;
  for (const auto& [cell, z] : lowest) {
    const auto [i, j] = cell;
    if (!lowest.contains({i - 1, j}) || !lowest.contains({i + 1, j}) || !lowest.contains({i, j - 1}) ||
        !lowest.contains({i, j + 1}))
      continue;
    ++inner;
    flat += z < on_ground_mm ? 1 : 0;
  }
  return inner > 40 && static_cast<double>(flat) > closed_share * static_cast<double>(inner);
}

Cloud without_ground(const Cloud& cloud, const geometry::Isometry& T_foot_scan, double length_mm) {
  Cloud out;
  out.oriented = cloud.oriented;
  for (std::size_t i = 0; i < cloud.points.size(); ++i) {
    const Vec3 x = T_foot_scan * cloud.points[i], n = T_foot_scan.linear() * cloud.normals[i];
    if (std::abs(x.z()) < on_ground_mm && std::abs(n.z()) > 0.9 && x.x() > heel_to * length_mm &&
        x.x() < ball_from * length_mm)
      continue;
    out.points.push_back(cloud.points[i]);
    out.normals.push_back(cloud.normals[i]);
  }
  return out;
}

Cloud without_lid(const Cloud& cloud, const geometry::Isometry& T_foot_scan) {
  constexpr double thick_mm = 0.7, looks_up = 0.7, over_share = 0.01;
  std::vector<int> high;  // looking up, in the upper half
  double top = 0;
  for (const Vec3& p : cloud.points) top = std::max(top, (T_foot_scan * p).z());
  for (std::size_t i = 0; i < cloud.points.size(); ++i)
    if ((T_foot_scan * cloud.points[i]).z() > top / 2 &&
        std::abs((T_foot_scan.linear() * cloud.normals[i]).z()) > looks_up)
      high.push_back(static_cast<int>(i));
  const std::size_t least = std::max<std::size_t>(40, cloud.points.size() / 100);
  if (high.size() < least) return cloud;
  // Each point with its own normal is a plane to try; a lid's are all the same one.
  std::vector<int> best, on;
  for (std::size_t trial = 0; trial < high.size(); trial += std::max<std::size_t>(1, high.size() / 60)) {
    const Vec3 at = cloud.points[high[trial]];
    Vec3 n = cloud.normals[high[trial]];
    if ((T_foot_scan.linear() * n).z() < 0) n = -n;
    std::size_t over = 0;
    on.clear();
    for (std::size_t i = 0; i < cloud.points.size(); ++i) {
      const double h = n.dot(cloud.points[i] - at);
      over += h > 2 * thick_mm ? 1 : 0;
      if (std::abs(h) < thick_mm && std::abs(n.dot(cloud.normals[i])) > 0.9) on.push_back(static_cast<int>(i));
    }
    if (static_cast<double>(over) < over_share * static_cast<double>(cloud.points.size()) && on.size() > best.size())
      best = on;
  }
  if (best.size() < least) return cloud;
  Cloud out;
  out.oriented = cloud.oriented;
  auto lid = best.begin();
  for (std::size_t i = 0; i < cloud.points.size(); ++i) {
    if (lid != best.end() && *lid == static_cast<int>(i)) {
      ++lid;
      continue;
    }
    out.points.push_back(cloud.points[i]);
    out.normals.push_back(cloud.normals[i]);
  }
  return out;
}

}  // namespace aplomb::scan
