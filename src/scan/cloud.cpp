// Even samples of a scan, and directions that survive noise.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/scan/cloud.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <numeric>

namespace aplomb::scan {

namespace {

/// Numbers in [0, 1) that are the same on every machine (splitmix64, Steele, Lea, Flood 2014).
class Uniform {
 public:
  explicit Uniform(std::uint64_t seed) : state_(seed) {}
  double operator()() {
    state_ += 0x9e3779b97f4a7c15ULL;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return static_cast<double>((z ^ (z >> 31)) >> 11) * 0x1p-53;
  }

 private:
  std::uint64_t state_;
};

/// Sorts whole numbers of 63 bits that stand for cells, carrying the point's index.
std::vector<std::pair<std::uint64_t, int>> cells_of(const std::vector<Vec3>& points, const Vec3& low, double cell) {
  std::vector<std::pair<std::uint64_t, int>> cells(points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    std::uint64_t key = 0;
    for (int k = 0; k < 3; ++k) {
      const double at = std::clamp((points[i][k] - low[k]) / cell, 0.0, 2097151.0);
      key = (key << 21) | static_cast<std::uint64_t>(at);
    }
    cells[i] = {key, static_cast<int>(i)};
  }
  std::sort(cells.begin(), cells.end());
  return cells;
}

}  // namespace

Cloud sample(const geometry::TriMesh& mesh, std::size_t count, std::uint64_t seed) {
  Cloud cloud;
  if (mesh.faces.empty()) {
    // A shuffle that stops early.
    const std::size_t n = mesh.vertices.size();
    if (n <= count) {
      cloud.points = mesh.vertices;
      return cloud;
    }
    Uniform uniform(seed);
    std::size_t left = count;
    for (std::size_t i = 0; i < n && left > 0; ++i)
      if (uniform() * static_cast<double>(n - i) < static_cast<double>(left)) {
        cloud.points.push_back(mesh.vertices[i]);
        --left;
      }
    return cloud;
  }
  std::vector<double> upto(mesh.faces.size());
  double total = 0;
  for (std::size_t f = 0; f < mesh.faces.size(); ++f) {
    const auto& [a, b, c] = mesh.faces[f];
    const Vec3 p = mesh.vertices[a];
    total += (mesh.vertices[b] - p).cross(mesh.vertices[c] - p).norm() / 2;
    upto[f] = total;
  }
  if (!(total > 0)) return cloud;
  Uniform uniform(seed);
  cloud.points.reserve(count);
  // Corners of a coarse mesh stand out past everything between them: length and breadth end there.
  std::vector<int> face_of(mesh.vertices.size(), -1);
  for (std::size_t f = 0; f < mesh.faces.size(); ++f)
    for (const int v : mesh.faces[f]) face_of[v] = static_cast<int>(f);
  const auto corners = std::count_if(face_of.begin(), face_of.end(), [](int f) { return f >= 0; });
  const bool coarse = static_cast<std::size_t>(corners) <= count / 3;
  cloud.normals.reserve(count);
  std::size_t f = 0;
  for (std::size_t i = 0; i < count; ++i) {
    // One point to each equal share of the area, so that no part comes off badly by chance.
    const double at = (static_cast<double>(i) + uniform()) / static_cast<double>(count) * total;
    while (f + 1 < upto.size() && upto[f] < at) ++f;
    const auto& [a, b, c] = mesh.faces[f];
    double u = uniform(), v = uniform();
    if (u + v > 1) u = 1 - u, v = 1 - v;
    const Vec3 ab = mesh.vertices[b] - mesh.vertices[a], ac = mesh.vertices[c] - mesh.vertices[a];
    cloud.points.push_back(mesh.vertices[a] + u * ab + v * ac);
    cloud.normals.push_back(ab.cross(ac).normalized());
  }
  for (std::size_t v = 0; coarse && v < face_of.size(); ++v) {
    if (face_of[v] < 0) continue;
    const auto& [a, b, c] = mesh.faces[face_of[v]];
    const Vec3 n = (mesh.vertices[b] - mesh.vertices[a]).cross(mesh.vertices[c] - mesh.vertices[a]);
    if (!(n.norm() > 0)) continue;
    cloud.points.push_back(mesh.vertices[v]);
    cloud.normals.push_back(n.normalized());
  }
  cloud.oriented = true;
  return cloud;
}

std::vector<int> spread(const std::vector<Vec3>& points, std::size_t count) {
  std::vector<int> all(points.size());
  std::iota(all.begin(), all.end(), 0);
  if (points.size() <= count || count == 0) return all;
  Vec3 low = points.front(), high = low;
  for (const Vec3& p : points) low = low.cwiseMin(p), high = high.cwiseMax(p);
  const double extent = std::max((high - low).maxCoeff(), 1e-12);
  // A surface fills about (extent / cell)^2 cells: halving finds the cell that gives the count.
  double fine = extent / 2000, coarse = extent / 2;
  std::vector<int> best;
  for (int step = 0; step < 12; ++step) {
    const double cell = std::sqrt(fine * coarse);
    const auto cells = cells_of(points, low, cell);
    std::vector<int> kept;
    for (std::size_t i = 0; i < cells.size(); ++i)
      if (i == 0 || cells[i].first != cells[i - 1].first) kept.push_back(cells[i].second);
    const double ratio = static_cast<double>(kept.size()) / static_cast<double>(count);
    if (ratio <= 1) {
      best = std::move(kept);
      coarse = cell;
      if (ratio > 0.9) break;
    } else {
      fine = cell;
    }
  }
  std::sort(best.begin(), best.end());
  return best;
}

Cloud with_plane_normals(const Cloud& cloud, const geometry::NearestPoints& tree, const std::vector<int>& at,
                         int neighbours) {
  Cloud out;
  out.oriented = cloud.oriented;
  out.points.reserve(at.size());
  out.normals.reserve(at.size());
  std::vector<geometry::Neighbour> near;
  for (const int i : at) {
    const Vec3& p = cloud.points[i];
    tree.nearest(p, neighbours, near);
    Vec3 mean = Vec3::Zero();
    for (const auto& n : near) mean += cloud.points[n.index];
    mean /= static_cast<double>(near.size());
    geometry::Mat3 scatter = geometry::Mat3::Zero();
    Vec3 votes = Vec3::Zero();
    for (const auto& n : near) {
      const Vec3 d = cloud.points[n.index] - mean;
      scatter += d * d.transpose();
      if (!cloud.normals.empty()) votes += cloud.normals[n.index];
    }
    Eigen::SelfAdjointEigenSolver<geometry::Mat3> solver;
    solver.computeDirect(scatter);
    Vec3 normal = solver.eigenvectors().col(0);
    if (!normal.allFinite() || normal.squaredNorm() < 0.5) normal = Vec3::UnitZ();
    if (!cloud.normals.empty() && normal.dot(votes) < 0) normal = -normal;
    out.points.push_back(p);
    out.normals.push_back(normal.normalized());
  }
  return out;
}

double typical_spacing(const std::vector<Vec3>& points, const geometry::NearestPoints& tree) {
  std::vector<double> gaps;
  std::vector<geometry::Neighbour> near;
  const std::size_t step = std::max<std::size_t>(1, points.size() / 500);
  for (std::size_t i = 0; i < points.size(); i += step) {
    tree.nearest(points[i], 2, near);
    gaps.push_back(std::sqrt(near.back().squared_distance));
  }
  std::nth_element(gaps.begin(), gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() / 2), gaps.end());
  return gaps[gaps.size() / 2];
}

}  // namespace aplomb::scan
