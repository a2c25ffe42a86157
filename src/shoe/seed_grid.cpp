// Filling the seed grid: nearest of coarse samples, then Newton.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "seed_grid.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

namespace aplomb::shoe {

namespace {

constexpr double spacing_mm = 7;
constexpr double margin_mm = 10;

// Coarse samples of the patch, as separate arrays so that the search over them vectorises.
struct CoarseSamples {
  std::vector<float> x, y, z, u, v;
  std::vector<std::int32_t> distance;

  CoarseSamples(const WallPatch& patch, double end_v) {
    std::vector<double> rows{0, 0.5, 1};
    const int wall_rows = 12;
    for (int i = 1; i <= wall_rows; ++i) rows.push_back(1 + (end_v - 1) * i / wall_rows);
    for (const double row : rows)
      for (int k = 0; k < patch_period; k += 3) {
        const Vec3 p = patch.position(k, row);
        x.push_back(static_cast<float>(p.x()));
        y.push_back(static_cast<float>(p.y()));
        z.push_back(static_cast<float>(p.z()));
        u.push_back(static_cast<float>(k));
        v.push_back(static_cast<float>(row));
      }
    distance.resize(x.size());
  }

  /// Distances as the bits of floats, which for what is not negative rise with them: the least of whole numbers
  /// vectorises, where it lies is looked for afterwards.
  std::size_t nearest(const Vec3& p) {
    const float px = static_cast<float>(p.x()), py = static_cast<float>(p.y()), pz = static_cast<float>(p.z());
    const std::size_t count = x.size();
    const float *X = x.data(), *Y = y.data(), *Z = z.data();
    std::int32_t* D = distance.data();
    for (std::size_t i = 0; i < count; ++i) {
      const float dx = X[i] - px, dy = Y[i] - py, dz = Z[i] - pz;
      D[i] = std::bit_cast<std::int32_t>(dx * dx + dy * dy + dz * dz);
    }
    std::int32_t least = std::numeric_limits<std::int32_t>::max();
    for (std::size_t i = 0; i < count; ++i) least = std::min(least, D[i]);
    return static_cast<std::size_t>(std::find(distance.begin(), distance.end(), least) - distance.begin());
  }
};

}  // namespace

FlatCore::FlatCore(const WallPatch& patch) {
  // Chords of the flat's outline in one quadrant; the outline is symmetric about both axes.
  constexpr int quarter = patch_period / 4;
  std::array<Vec2, sides + 1> corner;
  for (int i = 0; i <= sides; ++i) corner[i] = patch.position(quarter * i / static_cast<double>(sides), 0).head<2>();
  for (int i = 0; i < sides; ++i) {
    const Vec2 chord = corner[i + 1] - corner[i];
    normal_[i] = Vec2(chord.y(), -chord.x()).normalized();
    offset_[i] = normal_[i].dot(corner[i]);
  }
}

double FlatCore::to_edge_mm(const Vec2& xy) const {
  const Vec2 p = xy.cwiseAbs();
  double least = std::numeric_limits<double>::max();
  for (int i = 0; i < sides; ++i) least = std::min(least, offset_[i] - normal_[i].dot(p));
  return least;
}

SeedGrid::SeedGrid(const WallPatch& patch, double top_z) {
  const double top_v = patch.profile().v_of_z(top_z);
  Vec3 low = Vec3::Constant(std::numeric_limits<double>::max()), high = -low;
  for (int k = 0; k < patch_period; ++k)
    for (const double v : {0.0, top_v}) {
      low = low.cwiseMin(patch.position(k, v));
      high = high.cwiseMax(patch.position(k, v));
    }
  high.z() = top_z;
  const Vec3 margin(margin_mm, margin_mm, margin_mm);
  origin_ = low - margin;
  const Vec3 extent = high - origin_ + Vec3(margin_mm, margin_mm, 0);
  for (int k = 0; k < 3; ++k) size_[k] = static_cast<int>(std::ceil(extent[k] / spacing_mm)) + 1;

  CoarseSamples coarse(patch, std::min(patch.profile().end_v(), top_v + 10 / patch.profile().extent_mm()));
  seeds_.resize(static_cast<std::size_t>(size_[0]) * size_[1] * size_[2]);
  std::size_t index = 0;
  for (int k = 0; k < size_[2]; ++k)
    for (int j = 0; j < size_[1]; ++j)
      for (int i = 0; i < size_[0]; ++i) {
        const Vec3 node = origin_ + spacing_mm * Vec3(i, j, k);
        const std::size_t start = coarse.nearest(node);
        const WallPatch::Foot foot = patch.project(node, coarse.u[start], coarse.v[start]);
        const double distance = (foot.jet.p - node).norm();
        const double side = (node - foot.jet.p).dot(foot.jet.v.cross(foot.jet.u));
        const double over_platform = node.z() - patch.base_z();
        double gap = side < 0 ? -distance : distance;
        // Below the platform's plane everything is outside; above it the nearer of plane and patch counts.
        if (over_platform < 0)
          gap = foot.on_flat ? over_platform : -distance;
        else
          gap = std::min(gap, over_platform);
        constexpr double rounding_mm = 1e-3;
        seeds_[index++] = {static_cast<float>(foot.u), static_cast<float>(foot.v),
                           static_cast<float>(distance - rounding_mm), static_cast<float>(gap - rounding_mm)};
      }
}

SeedGrid::Start SeedGrid::near(const Vec3& x) const {
  std::array<int, 3> node;
  Vec3 offset;  // of x from the node, in cells
  for (int k = 0; k < 3; ++k) {
    const double s = (x[k] - origin_[k]) / spacing_mm;
    node[k] = static_cast<int>(std::clamp(s + 0.5, 0.0, size_[k] - 1.0));
    offset[k] = s - node[k];
  }
  const Seed& seed = at(node[0], node[1], node[2]);
  // Distances change no faster than the point moves.
  const double distance = spacing_mm * offset.norm();
  Start start{seed.u, seed.v, seed.patch_distance - distance, seed.gap - distance};
  for (int k = 0; k < 3; ++k) {
    std::array<int, 3> beside = node;
    beside[k] += offset[k] < 0 ? -1 : 1;
    if (beside[k] < 0 || beside[k] >= size_[k]) continue;
    const Seed& neighbour = at(beside[0], beside[1], beside[2]);
    const double du = neighbour.u - seed.u, dv = neighbour.v - seed.v;
    // Neighbours that see another part of the wall (or another turn of u) say nothing about x.
    if (std::abs(du) > 6 || std::abs(dv) > 2) continue;
    const double t = std::min(std::abs(offset[k]), 0.5);
    start.u += t * du;
    start.v += t * dv;
  }
  start.v = std::max(start.v, 0.0);
  return start;
}

std::array<int, 3> SeedGrid::cell_of(const Vec3& x) const {
  std::array<int, 3> low;
  for (int k = 0; k < 3; ++k)
    low[k] = static_cast<int>(std::clamp((x[k] - origin_[k]) / spacing_mm, 0.0, std::max(size_[k] - 2.0, 0.0)));
  return low;
}

// The inside is convex, so that the distance to its boundary is a concave function of the place: between the nodes it
// is no less than a mean of theirs with weights that have their mean at x.
double SeedGrid::gap_at_least(const Vec3& x) const {
  const std::array<int, 3> low = cell_of(x);
  std::array<double, 3> part;
  bool within = true;
  for (std::size_t k = 0; k < 3; ++k) {
    part[k] = (x[static_cast<Eigen::Index>(k)] - origin_[static_cast<Eigen::Index>(k)]) / spacing_mm - low[k];
    within = within && part[k] >= 0 && part[k] <= 1 && low[k] + 1 < size_[k];
  }
  if (!within) {
    // Distances change no faster than the point moves.
    const Vec3 node = origin_ + spacing_mm * Vec3(low[0], low[1], low[2]);
    return at(low[0], low[1], low[2]).gap - (node - x).norm();
  }
  double mean = 0;
  for (int c = 0; c < 8; ++c) {
    const int i = c & 1, j = c >> 1 & 1, k = c >> 2;
    const double weight = (i ? part[0] : 1 - part[0]) * (j ? part[1] : 1 - part[1]) * (k ? part[2] : 1 - part[2]);
    mean += weight * at(low[0] + i, low[1] + j, low[2] + k).gap;
  }
  return mean;
}

std::array<const SeedGrid::Seed*, 8> SeedGrid::around(const Vec3& x) const {
  const std::array<int, 3> low = cell_of(x);
  std::array<const Seed*, 8> result;
  for (int c = 0; c < 8; ++c) result[c] = &at(low[0] + (c & 1), low[1] + (c >> 1 & 1), low[2] + (c >> 2));
  return result;
}

}  // namespace aplomb::shoe
