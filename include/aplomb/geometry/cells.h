// All points within a small reach, of points that do not move.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "aplomb/geometry/nearest.h"

namespace aplomb::geometry {

/// Points sorted into cells of a grid: quicker to make than a tree, and to ask where reaches are about as long as a
/// cell is wide. Thread-safe once built; the same points give the same answers in the same order.
class PointCells {
 public:
  /// Cells are wider than cell_mm where there would be more of them than points. Pre: all points finite, cell_mm > 0.
  PointCells(const std::vector<Vec3>& points, double cell_mm);

  /// All points closer than `radius`, in no order that means anything.
  void within(const Vec3& to, double radius, std::vector<Neighbour>& out) const;

 private:
  int cell_of(double x, int axis) const;

  Vec3 low_ = Vec3::Zero();
  double width_ = 1;
  std::array<int, 3> count_{0, 0, 0};
  std::vector<int> start_;    // of each cell, x running fastest, in the two below; one more at the end
  std::vector<Vec3> points_;  // cell by cell
  std::vector<int> index_;    // of each in the caller's order
};

}  // namespace aplomb::geometry
