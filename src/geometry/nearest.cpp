// A k-d tree of our own: the fit of a scan asks a million times for one neighbour among points that change at every
// step, and CGAL's tree takes several times as long to build and to ask.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/geometry/nearest.h"

#include <algorithm>

namespace aplomb::geometry {

namespace {

constexpr int leaf_size = 12;

}  // namespace

NearestPoints::NearestPoints(const std::vector<Vec3>& points) {
  // Points and their places are sorted together: asking for them one by one costs more than moving them.
  std::vector<Entry> entries(points.size());
  for (std::size_t i = 0; i < points.size(); ++i) entries[i] = {points[i], static_cast<int>(i)};
  nodes_.reserve(points.size() / 4 + 2);
  if (!entries.empty()) build(entries, 0, static_cast<int>(entries.size()));
  points_.reserve(points.size());
  index_.reserve(points.size());
  for (const Entry& entry : entries) points_.push_back(entry.point), index_.push_back(entry.index);
}

NearestPoints::NearestPoints(const Eigen::Matrix3Xd& points)
    : NearestPoints([&points] {
        std::vector<Vec3> list(points.cols());
        for (Eigen::Index i = 0; i < points.cols(); ++i) list[i] = points.col(i);
        return list;
      }()) {}

void NearestPoints::build(std::vector<Entry>& entries, int first, int last) {
  const auto me = nodes_.size();
  nodes_.push_back({.split = 0, .axis = -1, .first = first, .last = last});
  if (last - first <= leaf_size) return;
  Vec3 low = entries[first].point, high = low;
  for (int i = first + 1; i < last; ++i) {
    const Vec3& p = entries[i].point;
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  int axis = 0;
  if (!((high - low).maxCoeff(&axis) > 0)) return;  // all in one place
  const int middle = first + (last - first) / 2;
  std::nth_element(entries.begin() + first, entries.begin() + middle, entries.begin() + last,
                   [axis](const Entry& a, const Entry& b) {
                     const double x = a.point[axis], y = b.point[axis];
                     return x < y || (x == y && a.index < b.index);
                   });
  const double split = entries[middle].point[axis];
  build(entries, first, middle);
  const auto second = static_cast<std::int32_t>(nodes_.size());
  build(entries, middle, last);
  nodes_[me] = {.split = split, .axis = axis, .first = 0, .last = second};
}

template <typename Limit, typename Take>
void NearestPoints::visit(const Vec3& to, const Limit& limit, const Take& take) const {
  if (nodes_.empty()) return;
  struct Visit {
    int node;
    double squared_gap;
  };
  Visit stack[64];
  int depth = 0;
  stack[depth++] = {0, 0};
  while (depth > 0) {
    const Visit visit = stack[--depth];
    if (visit.squared_gap >= limit()) continue;
    int at = visit.node;
    while (nodes_[at].axis >= 0) {
      const Node& node = nodes_[at];
      const double gap = to[node.axis] - node.split;
      const int near = gap < 0 ? at + 1 : node.last, far = gap < 0 ? node.last : at + 1;
      if (gap * gap < limit()) stack[depth++] = {far, gap * gap};
      at = near;
    }
    const Node& leaf = nodes_[at];
    for (int i = leaf.first; i < leaf.last; ++i) {
      const double squared = (points_[i] - to).squaredNorm();
      if (squared < limit()) take(i, squared);
    }
  }
}

Neighbour NearestPoints::nearest(const Vec3& to, double limit) const {
  Neighbour best{.index = -1, .squared_distance = limit};
  visit(
      to, [&] { return best.squared_distance; },
      [&](int place, double squared) {
        best = {place, squared};
      });
  if (best.index >= 0) best.index = index_[best.index];
  return best;
}

void NearestPoints::nearest(const Vec3& to, int count, std::vector<Neighbour>& out) const {
  out.clear();
  if (count <= 0) return;
  const auto farther = [](const Neighbour& a, const Neighbour& b) { return a.squared_distance < b.squared_distance; };
  const auto limit = [&] {
    return static_cast<int>(out.size()) < count ? std::numeric_limits<double>::max() : out.front().squared_distance;
  };
  visit(to, limit, [&](int place, double squared) {
    if (static_cast<int>(out.size()) == count) {
      std::pop_heap(out.begin(), out.end(), farther);
      out.pop_back();
    }
    out.push_back({place, squared});
    std::push_heap(out.begin(), out.end(), farther);
  });
  std::sort_heap(out.begin(), out.end(), farther);
  for (Neighbour& neighbour : out) neighbour.index = index_[neighbour.index];
}

}  // namespace aplomb::geometry
