// Sorting by counting; runs of cells along x lie together and are asked as one.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/geometry/cells.h"

#include <algorithm>
#include <cmath>

namespace aplomb::geometry {

PointCells::PointCells(const std::vector<Vec3>& points, double cell_mm) : width_(cell_mm) {
  if (points.empty()) return;
  Vec3 high = low_ = points.front();
  for (const Vec3& p : points) low_ = low_.cwiseMin(p), high = high.cwiseMax(p);
  const Vec3 extent = high - low_;
  const double most = 8.0 * static_cast<double>(points.size()) + 8;  // a surface leaves most cells empty
  const auto cells = [&] { return ((extent / width_).array() + 1).prod(); };
  while (cells() > most) width_ *= 1.5;
  for (int axis = 0; axis < 3; ++axis) count_[axis] = static_cast<int>(extent[axis] / width_) + 1;

  const auto number = [&](const Vec3& p) {
    return static_cast<std::size_t>((cell_of(p.z(), 2) * count_[1] + cell_of(p.y(), 1)) * count_[0] +
                                    cell_of(p.x(), 0));
  };
  start_.assign(static_cast<std::size_t>(count_[0]) * count_[1] * count_[2] + 1, 0);
  for (const Vec3& p : points) ++start_[number(p) + 1];
  for (std::size_t c = 1; c < start_.size(); ++c) start_[c] += start_[c - 1];
  points_.resize(points.size());
  index_.resize(points.size());
  std::vector<int> next(start_.begin(), start_.end() - 1);
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto place = static_cast<std::size_t>(next[number(points[i])]++);
    points_[place] = points[i];
    index_[place] = static_cast<int>(i);
  }
}

int PointCells::cell_of(double x, int axis) const {
  return static_cast<int>(std::clamp((x - low_[axis]) / width_, 0.0, count_[axis] - 1.0));
}

void PointCells::within(const Vec3& to, double radius, std::vector<Neighbour>& out) const {
  out.clear();
  if (points_.empty()) return;
  std::array<int, 3> first, last;
  for (int axis = 0; axis < 3; ++axis) {
    first[axis] = cell_of(to[axis] - radius, axis);
    last[axis] = cell_of(to[axis] + radius, axis);
  }
  const double squared_radius = radius * radius;
  for (int k = first[2]; k <= last[2]; ++k)
    for (int j = first[1]; j <= last[1]; ++j) {
      const auto row = static_cast<std::size_t>((k * count_[1] + j) * count_[0]);
      const int end = start_[row + static_cast<std::size_t>(last[0]) + 1];
      for (int i = start_[row + static_cast<std::size_t>(first[0])]; i < end; ++i) {
        const auto place = static_cast<std::size_t>(i);
        const double squared = (points_[place] - to).squaredNorm();
        if (squared < squared_radius) out.push_back({index_[place], squared});
      }
    }
}

}  // namespace aplomb::geometry
