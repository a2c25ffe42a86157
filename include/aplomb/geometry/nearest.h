// Nearest neighbours among points that do not move.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <limits>
#include <utility>
#include <vector>

#include "aplomb/geometry/types.h"

namespace aplomb::geometry {

/// Index and squared distance of a neighbour; index -1 where there is none.
struct Neighbour {
  int index = -1;
  double squared_distance = std::numeric_limits<double>::max();
};

/// The nearest first, and of those as far the one with the lower index: an order that a mirror image shares.
inline bool nearer(const Neighbour& a, const Neighbour& b) {
  return a.squared_distance < b.squared_distance || (a.squared_distance == b.squared_distance && a.index < b.index);
}

/// A k-d tree over points. Thread-safe once built; the same points give the same answers, ties by lower place in the
/// tree.
class NearestPoints {
 public:
  NearestPoints() = default;
  /// Pre: all points finite.
  explicit NearestPoints(const std::vector<Vec3>& points);
  explicit NearestPoints(const Eigen::Matrix3Xd& points);

  bool empty() const { return points_.empty(); }

  /// The nearest point closer than sqrt(limit).
  Neighbour nearest(const Vec3& to, double limit = std::numeric_limits<double>::max()) const;

  /// The `count` nearest points, nearest first; fewer when there are fewer.
  void nearest(const Vec3& to, int count, std::vector<Neighbour>& out) const;

 private:
  struct Node {
    double split = 0;
    int axis = -1;                     // -1: a leaf
    std::int32_t first = 0, last = 0;  // points of a leaf; second child of an inner node in `last`
  };
  struct Entry {
    Vec3 point;
    int index = 0;
  };
  void build(std::vector<Entry>& entries, int first, int last);
  /// take(place, squared distance) for every point nearer than what limit() says by then.
  template <typename Limit, typename Take>
  void visit(const Vec3& to, const Limit& limit, const Take& take) const;

  std::vector<Vec3> points_;  // in the order of the leaves
  std::vector<int> index_;    // of each in the caller's order
  std::vector<Node> nodes_;
};

}  // namespace aplomb::geometry
