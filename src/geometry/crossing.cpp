// Whether a mesh passes through itself: faces whose boxes overlap are found in the cells of a grid, and asked about
// with CGAL's exact predicates. As Polygon_mesh_processing answers, which builds a mesh of its own for it and takes
// longer over the boxes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/intersections.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "aplomb/geometry/exact.h"

namespace aplomb::geometry {

namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Point = Kernel::Point_3;
using Face = std::array<int, 3>;

/// All of b that may meet a lies strictly on one side of a's plane. Pre: they share p.
bool beside(const Point& p, const Point& a1, const Point& a2, const Point& b1, const Point& b2) {
  const CGAL::Orientation side = CGAL::orientation(p, a1, a2, b1);
  return side != CGAL::COPLANAR && side == CGAL::orientation(p, a1, a2, b2);
}

/// Whether two faces share more than their common corners say.
bool cross(const std::vector<Point>& points, const Face& f, const Face& g) {
  const auto of = [&](const Face& face, std::size_t i) -> const Point& {
    return points[static_cast<std::size_t>(face[i % 3])];
  };
  int shared = 0;
  std::size_t in_f = 0, in_g = 0;      // a corner that is the same
  std::size_t only_f = 0, only_g = 0;  // one that is not
  for (std::size_t i = 0; i < 3; ++i) {
    const auto same = std::find(g.begin(), g.end(), f[i]);
    if (same == g.end())
      only_f = i;
    else
      ++shared, in_f = i, in_g = static_cast<std::size_t>(same - g.begin());
    if (std::find(f.begin(), f.end(), g[i]) == f.end()) only_g = i;
  }
  if (shared == 0)
    return CGAL::do_intersect(Kernel::Triangle_3(of(f, 0), of(f, 1), of(f, 2)),
                              Kernel::Triangle_3(of(g, 0), of(g, 1), of(g, 2)));
  if (shared == 1) {
    const Point &p = of(f, in_f), &a1 = of(f, in_f + 1), &a2 = of(f, in_f + 2), &b1 = of(g, in_g + 1),
                &b2 = of(g, in_g + 2);
    if (beside(p, a1, a2, b1, b2) || beside(p, b1, b2, a1, a2)) return false;
    return CGAL::do_intersect(Kernel::Segment_3(a1, a2), Kernel::Triangle_3(p, b1, b2)) ||
           CGAL::do_intersect(Kernel::Segment_3(b1, b2), Kernel::Triangle_3(p, a1, a2));
  }
  // Over a common edge: folded flat onto each other or not at all.
  const Point &p = of(f, only_f + 1), &q = of(f, only_f + 2), &r = of(f, only_f), &s = of(g, only_g);
  return CGAL::coplanar(p, q, r, s) && CGAL::coplanar_orientation(p, q, r, s) == CGAL::POSITIVE;
}

/// Boxes of faces, sorted into every cell that they reach into.
class BoxCells {
 public:
  explicit BoxCells(const TriMesh& mesh) {
    Vec3 high = Vec3::Constant(-1e300);
    low_ = -high;
    double widths = 0;
    for (const Face& face : mesh.faces) {
      Box box{mesh.vertices[static_cast<std::size_t>(face[0])], mesh.vertices[static_cast<std::size_t>(face[0])]};
      for (const int v : face) {
        box.low = box.low.cwiseMin(mesh.vertices[static_cast<std::size_t>(v)]);
        box.high = box.high.cwiseMax(mesh.vertices[static_cast<std::size_t>(v)]);
      }
      low_ = low_.cwiseMin(box.low), high = high.cwiseMax(box.high);
      widths += (box.high - box.low).maxCoeff();
      boxes_.push_back(box);
    }
    if (boxes_.empty()) return;
    const auto faces = static_cast<double>(boxes_.size());
    const Vec3 extent = high - low_;
    width_ = std::max(widths / faces, 1e-9 * extent.maxCoeff() + 1e-300);
    while (((extent / width_).array() + 1).prod() > 8 * faces + 8) width_ *= 1.5;
    for (int axis = 0; axis < 3; ++axis) count_[axis] = static_cast<int>(extent[axis] / width_) + 1;
    start_.assign(static_cast<std::size_t>(count_[0]) * count_[1] * count_[2] + 1, 0);
    for (const Box& box : boxes_) each_cell(box, [&](std::size_t cell) { ++start_[cell + 1]; });
    for (std::size_t c = 1; c < start_.size(); ++c) start_[c] += start_[c - 1];
    in_cell_.resize(start_.back());
    std::vector<std::size_t> next(start_.begin(), start_.end() - 1);
    for (std::size_t k = 0; k < boxes_.size(); ++k)
      each_cell(boxes_[k], [&](std::size_t cell) { in_cell_[next[cell]++] = k; });
  }

  /// Whether `test` says so of any two whose boxes overlap, each two asked about once.
  template <class Test>
  bool any(const Test& test) const {
    for (std::size_t cell = 0; cell + 1 < start_.size(); ++cell)
      for (std::size_t i = start_[cell]; i < start_[cell + 1]; ++i)
        for (std::size_t j = i + 1; j < start_[cell + 1]; ++j) {
          const Box &a = boxes_[in_cell_[i]], &b = boxes_[in_cell_[j]];
          if ((a.low.array() > b.high.array()).any() || (b.low.array() > a.high.array()).any()) continue;
          // Where both reach into several cells, in the one that holds the low corner of what they share.
          if (cell_at(a.low.cwiseMax(b.low)) == cell && test(in_cell_[i], in_cell_[j])) return true;
        }
    return false;
  }

 private:
  struct Box {
    Vec3 low, high;
  };
  int cell_of(double x, int axis) const {
    return static_cast<int>(std::clamp((x - low_[axis]) / width_, 0.0, count_[axis] - 1.0));
  }
  std::size_t number(int x, int y, int z) const {
    return (static_cast<std::size_t>(z) * static_cast<std::size_t>(count_[1]) + static_cast<std::size_t>(y)) *
               static_cast<std::size_t>(count_[0]) +
           static_cast<std::size_t>(x);
  }
  std::size_t cell_at(const Vec3& p) const { return number(cell_of(p.x(), 0), cell_of(p.y(), 1), cell_of(p.z(), 2)); }
  template <class Visit>
  void each_cell(const Box& box, const Visit& visit) const {
    for (int z = cell_of(box.low.z(), 2); z <= cell_of(box.high.z(), 2); ++z)
      for (int y = cell_of(box.low.y(), 1); y <= cell_of(box.high.y(), 1); ++y)
        for (int x = cell_of(box.low.x(), 0); x <= cell_of(box.high.x(), 0); ++x) visit(number(x, y, z));
  }

  std::vector<Box> boxes_;
  Vec3 low_ = Vec3::Zero();
  double width_ = 1;
  std::array<int, 3> count_{0, 0, 0};
  std::vector<std::size_t> start_{0}, in_cell_;  ///< of each cell, x running fastest; one more at the end
};

}  // namespace

bool crosses_itself(const TriMesh& mesh) {
  std::vector<Point> points;
  points.reserve(mesh.vertices.size());
  for (const Vec3& p : mesh.vertices) points.emplace_back(p.x(), p.y(), p.z());
  return BoxCells(mesh).any([&](std::size_t a, std::size_t b) { return cross(points, mesh.faces[a], mesh.faces[b]); });
}

}  // namespace aplomb::geometry
