// Starts are the ways in which the main axes of two point sets can be laid over each other: 24 turns, for either side,
// for the template whole and cut low, because where a leg is cut turns the axes. Each start is walked to its nearest
// answer with correspondences both ways: from scan to template alone, shrinking the scan would always help.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "coarse.h"

#include <Eigen/Eigenvalues>
#include <Eigen/SVD>
#include <algorithm>
#include <array>
#include <cmath>

#include "in_parts.h"

namespace aplomb::scan {

namespace {

using geometry::Mat3;

constexpr double far_mm = 15;      // distances beyond tell no more than that something is wrong
constexpr double low_cut_mm = 75;  // above the ankle bones' tops

struct Target {
  std::vector<Vec3> points, normals;
  geometry::NearestPoints tree;
};

struct Axes {
  Vec3 middle = Vec3::Zero();
  Mat3 directions = Mat3::Identity();  // columns, right-handed, longest first
  double radius = 1;                   // root mean square distance from the middle
};

Axes axes_of(const std::vector<Vec3>& points) {
  Axes axes;
  for (const Vec3& p : points) axes.middle += p;
  axes.middle /= static_cast<double>(points.size());
  Mat3 scatter = Mat3::Zero();
  for (const Vec3& p : points) scatter += (p - axes.middle) * (p - axes.middle).transpose();
  scatter /= static_cast<double>(points.size());
  axes.radius = std::sqrt(scatter.trace());
  const Eigen::SelfAdjointEigenSolver<Mat3> solver(scatter);
  axes.directions = solver.eigenvectors().rowwise().reverse();
  if (axes.directions.determinant() < 0) axes.directions.col(2) *= -1;
  return axes;
}

/// The 24 turns of a cube.
std::vector<Mat3> cube_turns() {
  std::vector<Mat3> turns;
  std::array<int, 3> order{0, 1, 2};
  do {
    for (int signs = 0; signs < 8; ++signs) {
      Mat3 turn = Mat3::Zero();
      for (int k = 0; k < 3; ++k) turn(order[k], k) = (signs >> k & 1) != 0 ? -1 : 1;
      if (turn.determinant() > 0) turns.push_back(turn);
    }
  } while (std::next_permutation(order.begin(), order.end()));
  return turns;
}

Target target_of(const foot::ShapeModel& model) {
  const auto& skin = model.mean.skin;
  double top = 0;
  for (const Vec3& p : skin.vertices_F) top = std::max(top, p.z());
  std::vector<Vec3> normals(skin.vertices_F.size(), Vec3::Zero());
  for (const auto& [a, b, c] : skin.faces) {
    const Vec3 n = (skin.vertices_F[b] - skin.vertices_F[a]).cross(skin.vertices_F[c] - skin.vertices_F[a]);
    for (const int v : {a, b, c}) normals[v] += n;
  }
  std::vector<Vec3> points;
  std::vector<Vec3> directions;
  for (std::size_t v = 0; v < skin.vertices_F.size(); ++v) {
    if (skin.vertices_F[v].z() > top - 0.5) continue;
    points.push_back(skin.vertices_F[v]);
    directions.push_back(normals[v].normalized());
  }
  Target target;
  for (const int i : spread(points, 1200)) {
    target.points.push_back(points[i]);
    target.normals.push_back(directions[i]);
  }
  target.tree = geometry::NearestPoints(target.points);
  return target;
}

/// One scan against the template, for one side.
class Walker {
 public:
  Walker(const Target& target, const Cloud& cloud, bool mirror) : target_(target), mirror_(mirror) {
    for (const Vec3& p : cloud.points) points_.push_back(mirrored(p, mirror));
    for (const Vec3& n : cloud.normals) normals_.push_back(mirrored(n, mirror));
    tree_ = geometry::NearestPoints(points_);
  }

  Placement start(const Axes& scan, const Axes& model, const Mat3& turn) const {
    Placement at;
    at.mirrored = mirror_;
    at.scale = model.radius / scan.radius;
    at.rotation = model.directions * turn * scan.directions.transpose();
    at.translation = model.middle - at.scale * (at.rotation * scan.middle);
    return at;
  }

  Placement walked(Placement at, int steps, double reach_from_mm, double reach_to_mm) const {
    for (int step = 0; step < steps; ++step) {
      const double reach = reach_from_mm * std::pow(reach_to_mm / reach_from_mm, step / std::max(1.0, steps - 1.0));
      at = stepped(at, reach);
      if (!(at.scale > 0) || !std::isfinite(at.scale)) break;
    }
    at.score_mm = score(at);
    return at;
  }

  const std::vector<Vec3>& points() const { return points_; }

 private:
  /// Closest points both ways, weighted down with distance, and the similarity that fits them best (Umeyama 1991).
  Placement stepped(const Placement& at, double reach_mm) const {
    std::vector<Vec3> from, to;
    std::vector<double> weight;
    const auto add = [&](const Vec3& p, const Vec3& x, double distance, double share) {
      const double r = distance / reach_mm, w = share / ((1 + r * r) * (1 + r * r));
      from.push_back(p);
      to.push_back(x);
      weight.push_back(w);
    };
    double high = -1e9;
    const double scan_share = 1.0 / static_cast<double>(points_.size()),
                 model_share = 0.6 / static_cast<double>(target_.points.size());
    for (std::size_t i = 0; i < points_.size(); ++i) {
      const Vec3 x = at.scale * (at.rotation * points_[i]) + at.translation;
      high = std::max(high, x.z());
      const auto near = target_.tree.nearest(x);
      // Point to plane in effect: half of the way along the surface is let go.
      const Vec3 there = target_.points[near.index], n = target_.normals[near.index];
      const Vec3 along = (x - there) - n.dot(x - there) * n;
      add(points_[i], there + 0.6 * along, std::sqrt(near.squared_distance), scan_share);
    }
    for (std::size_t j = 0; j < target_.points.size(); ++j) {
      if (target_.points[j].z() > high) continue;
      const Vec3 p = at.rotation.transpose() * (target_.points[j] - at.translation) / at.scale;
      const auto near = tree_.nearest(p);
      add(points_[near.index], target_.points[j], at.scale * std::sqrt(near.squared_distance), model_share);
    }
    double sum = 0;
    Vec3 middle_from = Vec3::Zero(), middle_to = Vec3::Zero();
    for (std::size_t i = 0; i < from.size(); ++i) {
      sum += weight[i];
      middle_from += weight[i] * from[i];
      middle_to += weight[i] * to[i];
    }
    middle_from /= sum;
    middle_to /= sum;
    Mat3 cross = Mat3::Zero();
    double spread_from = 0;
    for (std::size_t i = 0; i < from.size(); ++i) {
      cross += weight[i] * (to[i] - middle_to) * (from[i] - middle_from).transpose();
      spread_from += weight[i] * (from[i] - middle_from).squaredNorm();
    }
    const Eigen::JacobiSVD<Mat3> svd(cross, Eigen::ComputeFullU | Eigen::ComputeFullV);
    Vec3 keep = Vec3::Ones();
    if (svd.matrixU().determinant() * svd.matrixV().determinant() < 0) keep[2] = -1;
    Placement next = at;
    next.rotation = svd.matrixU() * keep.asDiagonal() * svd.matrixV().transpose();
    next.scale = svd.singularValues().dot(keep) / spread_from;
    next.translation = middle_to - next.scale * (next.rotation * middle_from);
    return next;
  }

  double score(const Placement& at) const {
    if (!(at.scale > 0) || !std::isfinite(at.scale)) return 1e9;
    std::vector<double> heights;
    double forth = 0, back = 0;
    for (const Vec3& p : points_) {
      const Vec3 x = at.scale * (at.rotation * p) + at.translation;
      heights.push_back(x.z());
      const auto near = target_.tree.nearest(x, far_mm * far_mm);
      forth += near.index < 0 ? far_mm : std::sqrt(near.squared_distance);
    }
    std::nth_element(heights.begin(), heights.begin() + static_cast<std::ptrdiff_t>(heights.size() * 97 / 100),
                     heights.end());
    const double high = heights[heights.size() * 97 / 100];
    int count = 0;
    for (const Vec3& q : target_.points) {
      if (q.z() > high) continue;
      const Vec3 p = at.rotation.transpose() * (q - at.translation) / at.scale;
      const double limit = far_mm / at.scale;
      const auto near = tree_.nearest(p, limit * limit);
      back += near.index < 0 ? far_mm : at.scale * std::sqrt(near.squared_distance);
      ++count;
    }
    return forth / static_cast<double>(points_.size()) + 0.5 * back / std::max(1, count);
  }

  const Target& target_;
  bool mirror_;
  std::vector<Vec3> points_, normals_;
  geometry::NearestPoints tree_;
};

/// Whether two placements are the same answer.
bool alike(const Placement& a, const Placement& b) {
  const double turn = Eigen::AngleAxisd(a.rotation * b.rotation.transpose()).angle();
  return turn < 0.15 && std::abs(std::log(a.scale / b.scale)) < 0.05;
}

}  // namespace

std::vector<Placement> coarse_placements(const foot::ShapeModel& model, const Cloud& cloud, int keep, int threads) {
  const Target target = target_of(model);
  std::vector<Vec3> low;
  for (const Vec3& p : target.points)
    if (p.z() < low_cut_mm) low.push_back(p);
  const std::array<Axes, 2> model_axes{axes_of(target.points), axes_of(low)};
  const std::vector<Mat3> turns = cube_turns();
  const auto placed = [&](bool mirror) {
    const Walker walker(target, cloud, mirror);
    const Axes scan_axes = axes_of(walker.points());
    std::vector<Placement> tried;
    for (const Axes& axes : model_axes)
      for (const Mat3& turn : turns) tried.push_back(walker.walked(walker.start(scan_axes, axes, turn), 6, 40, 20));
    const auto better = [](const Placement& a, const Placement& b) { return a.score_mm < b.score_mm; };
    std::stable_sort(tried.begin(), tried.end(), better);
    std::vector<Placement> best;
    for (const Placement& placement : tried) {
      if (std::any_of(best.begin(), best.end(), [&](const Placement& b) { return alike(b, placement); })) continue;
      best.push_back(placement);
      if (static_cast<int>(best.size()) == 3 * keep) break;
    }
    for (Placement& placement : best) placement = walker.walked(placement, 12, 20, 8);
    std::stable_sort(best.begin(), best.end(), better);
    std::vector<Placement> kept;
    for (const Placement& placement : best) {
      if (std::any_of(kept.begin(), kept.end(), [&](const Placement& b) { return alike(b, placement); })) continue;
      kept.push_back(placement);
      if (static_cast<int>(kept.size()) == keep) break;
    }
    return kept;
  };
  std::array<std::vector<Placement>, 2> sides;
  in_parts(2, std::min(threads, 2), [&](std::size_t begin, std::size_t end) {
    for (std::size_t side = begin; side < end; ++side) sides[side] = placed(side == 1);
  });
  std::vector<Placement> out;
  for (const auto& kept : sides) out.insert(out.end(), kept.begin(), kept.end());
  std::stable_sort(out.begin(), out.end(),
                   [](const Placement& a, const Placement& b) { return a.score_mm < b.score_mm; });
  return out;
}

}  // namespace aplomb::scan
