// The plane between two feet a hair apart has to be met within half a degree. Directions on a half sphere are tried
// with a slab as thick as they are coarse; the emptier ones are tried again with their neighbours, more finely, in a
// thinner slab, on more points. A plane that only cuts a thin waist stays as full as it was, the right one empties.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "apart.h"

#include <algorithm>
#include <cmath>

namespace aplomb::scan {

namespace {

constexpr double least_share = 0.2;  // of the points, on either side
constexpr double gap_share = 0.004;  // of the extent: 1.3 mm of two feet
/// A slab this empty through a waist a third of the extent round would hold 25 points: none of so many planes finds
/// such a gap by chance.
constexpr double gap_points = 75;
constexpr int directions = 2500;  // of the first search: 2.9 degrees apart
struct Level {
  std::size_t points, kept;
  double slab_share, step;  // thickness, of the extent; of the neighbours that are tried next
};
constexpr Level levels[] = {{1500, 400, 0.020, 0.025}, {3000, 120, 0.012, 0.0125}, {6000, 40, 0.008, 0.006},
                            {10000, 16, 0.005, 0.003}, {20000, 6, 0.004, 0.0015},  {20000, 4, 0.004, 0.0007}};

struct Slab {
  Vec3 normal = Vec3::UnitZ();
  int inside = 0;  ///< points in the emptiest slab that leaves enough on either side
};

std::vector<Vec3> thinned(const std::vector<Vec3>& points, std::size_t count) {
  std::vector<Vec3> out;
  const std::size_t step = std::max<std::size_t>(1, points.size() / count);
  for (std::size_t i = 0; i < points.size(); i += step) out.push_back(points[i]);
  return out;
}

/// Counts in slabs by bins of a fourth of their thickness. Points lie within `radius` of the origin.
class Emptiest {
 public:
  Emptiest(const std::vector<Vec3>& points, double radius, double thickness)
      : points_(points), radius_(radius), per_bin_(4 / thickness) {
    bins_.resize(static_cast<std::size_t>(2 * radius * per_bin_) + 6);
  }
  Slab across(const Vec3& normal) {
    std::fill(bins_.begin(), bins_.end(), 0);
    for (const Vec3& p : points_) ++bins_[static_cast<std::size_t>((normal.dot(p) + radius_) * per_bin_)];
    const int least = static_cast<int>(least_share * static_cast<double>(points_.size()));
    const int all = static_cast<int>(points_.size());
    Slab slab{normal, all};
    int before = 0;
    for (std::size_t i = 0; i + 4 <= bins_.size(); before += bins_[i++]) {
      const int inside = bins_[i] + bins_[i + 1] + bins_[i + 2] + bins_[i + 3];
      if (before >= least && all - before - inside >= least) slab.inside = std::min(slab.inside, inside);
    }
    return slab;
  }

 private:
  const std::vector<Vec3>& points_;
  double radius_, per_bin_;
  std::vector<int> bins_;
};

}  // namespace

std::optional<std::pair<Cloud, Cloud>> apart(const Cloud& cloud) {
  const std::size_t count = cloud.points.size();
  if (count < 500) return std::nullopt;
  Vec3 low = cloud.points.front(), high = low;
  for (const Vec3& p : cloud.points) low = low.cwiseMin(p), high = high.cwiseMax(p);
  const double extent = (high - low).norm();
  if (!(extent > 0)) return std::nullopt;
  std::vector<Vec3> all = cloud.points;
  for (Vec3& p : all) p -= (low + high) / 2;

  std::vector<Slab> slabs;
  for (int i = 0; i < directions; ++i) {
    // Evenly over half a sphere: Fibonacci's spiral.
    const double z = (i + 0.5) / directions, turn = i * geometry::pi * (3 - std::sqrt(5.0)), r = std::sqrt(1 - z * z);
    slabs.push_back({{r * std::cos(turn), r * std::sin(turn), z}, 0});
  }
  for (const Level& level : levels) {
    const std::vector<Vec3> points = thinned(all, level.points);
    Emptiest emptiest(points, 0.51 * extent, level.slab_share * extent);
    for (Slab& slab : slabs) slab = emptiest.across(slab.normal);
    std::stable_sort(slabs.begin(), slabs.end(), [](const Slab& a, const Slab& b) { return a.inside < b.inside; });
    slabs.resize(std::min(slabs.size(), level.kept));
    if (&level == std::end(levels) - 1) break;
    for (std::size_t i = 0, n = slabs.size(); i < n; ++i) {
      const Vec3 normal = slabs[i].normal, u = normal.unitOrthogonal(), v = normal.cross(u);
      for (int k = 0; k < 6; ++k) {
        const double t = k * geometry::pi / 3;
        slabs.push_back({(normal + level.step * (std::cos(t) * u + std::sin(t) * v)).normalized(), 0});
      }
    }
  }
  std::vector<double> along(count);
  const auto least = static_cast<std::size_t>(least_share * static_cast<double>(count));
  for (const Slab& slab : slabs) {
    for (std::size_t i = 0; i < count; ++i) along[i] = slab.normal.dot(all[i]);
    std::sort(along.begin(), along.end());
    std::size_t at = least;
    for (std::size_t i = least; i + least + 1 < count; ++i)
      if (along[i + 1] - along[i] > along[at + 1] - along[at]) at = i;
    const double gap = along[at + 1] - along[at];
    if (gap < gap_share * extent || gap < gap_points * extent / static_cast<double>(count)) continue;
    std::pair<Cloud, Cloud> out;
    out.first.oriented = out.second.oriented = cloud.oriented;
    for (std::size_t i = 0; i < count; ++i) {
      Cloud& side = slab.normal.dot(all[i]) <= along[at] ? out.first : out.second;
      side.points.push_back(cloud.points[i]);
      if (!cloud.normals.empty()) side.normals.push_back(cloud.normals[i]);
    }
    if (out.second.points.size() > out.first.points.size()) std::swap(out.first, out.second);
    return out;
  }
  return std::nullopt;
}

}  // namespace aplomb::scan
