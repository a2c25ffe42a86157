// Closest points by a tree over the vertices and the faces round the nearest ones: skin triangles are small and even.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "moving_surface.h"

#include <algorithm>
#include <cmath>

#include "aplomb/foot/build.h"
#include "aplomb/foot/skin_offset.h"

namespace aplomb::scan {

namespace {

/// Share of the leg in a vertex's weights: an in-between bone of the ankle moves with the leg by what it does not take.
double leg_share_of(const foot::Skin& skin, std::size_t v) {
  double share = 0;
  for (int i = 0; i < 4; ++i) {
    const int bone = skin.bones[v][i];
    if (bone == foot::tibia) {
      share += skin.weights[v][i];
    } else if (bone >= foot::anatomical_bone_count) {
      const foot::Between between = foot::between_of(bone);
      if (between.from == foot::tibia) share += (1 - between.share) * skin.weights[v][i];
    }
  }
  return share;
}

/// The closest point of a triangle, as barycentric coordinates (after Ericson, Real-Time Collision Detection, 5.1.5).
Vec3 closest_in(const Vec3& p, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 ab = b - a, ac = c - a, ap = p - a;
  const double d1 = ab.dot(ap), d2 = ac.dot(ap);
  if (d1 <= 0 && d2 <= 0) return {1, 0, 0};
  const Vec3 bp = p - b;
  const double d3 = ab.dot(bp), d4 = ac.dot(bp);
  if (d3 >= 0 && d4 <= d3) return {0, 1, 0};
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) {
    const double v = d1 / (d1 - d3);
    return {1 - v, v, 0};
  }
  const Vec3 cp = p - c;
  const double d5 = ab.dot(cp), d6 = ac.dot(cp);
  if (d6 >= 0 && d5 <= d6) return {0, 0, 1};
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) {
    const double w = d2 / (d2 - d6);
    return {1 - w, 0, w};
  }
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    const double w = (d4 - d3) / ((d4 - d3) + (d5 - d6));
    return {0, 1 - w, w};
  }
  const double denominator = 1 / (va + vb + vc);
  return {1 - (vb + vc) * denominator, vb * denominator, vc * denominator};
}

/// How near the top of the template a vertex belongs to its flat cut.
constexpr double cap_depth_mm = 0.05;

}  // namespace

MovingSurface::MovingSurface(const foot::ShapeModel& model, foot::Load load)
    : model_(model), load_(load), faces_(model.mean.skin.faces), fields_(model.skin) {
  const auto& skin = model.mean.skin;
  const auto vertex_count = skin.vertices_F.size();
  double top = 0;
  for (const Vec3& p : skin.vertices_F) top = std::max(top, p.z());
  rim_.resize(vertex_count);
  leg_share_.resize(vertex_count);
  for (std::size_t v = 0; v < vertex_count; ++v) {
    rim_[v] = skin.vertices_F[v].z() > top - cap_depth_mm;
    leg_share_[v] = leg_share_of(skin, v);
  }
  std::vector<int> count(vertex_count + 1, 0);
  for (const auto& face : faces_) {
    cap_.push_back(rim_[face[0]] && rim_[face[1]] && rim_[face[2]]);
    if (!cap_.back())
      for (const int v : face) ++count[v + 1];
  }
  for (std::size_t v = 0; v < vertex_count; ++v) count[v + 1] += count[v];
  ring_first_ = count;
  ring_.resize(count.back());
  for (std::size_t f = 0; f < faces_.size(); ++f)
    if (!cap_[f])
      for (const int v : faces_[f]) ring_[count[v]++] = static_cast<int>(f);

  relief_ = Eigen::Matrix3Xd::Zero(3, static_cast<Eigen::Index>(vertex_count));
  if (load == foot::Load::none) relief_ = foot::unloaded_relief(model);
  axis_[0] = -Vec3::UnitY();
  axis_[1] = Vec3::UnitX();
}

void MovingSurface::set(const Look& look, const Eigen::VectorXd& offset_mm) {
  look_ = look;
  body_ = foot::body_at(model_, look.shape);
  if (load_ == foot::Load::none) body_.skin += std::exp(look.shape[0]) * relief_;
  vertices_ = body_.skin;
  ankle_ =
      body_.landmarks.col(std::distance(model_.mean.landmarks.begin(), model_.mean.landmarks.find("ankle_centre")));
  const auto find_normals = [this] {
    normals_ = Eigen::Matrix3Xd::Zero(3, vertices_.cols());
    face_normals_.resize(3, static_cast<Eigen::Index>(faces_.size()));
    for (std::size_t f = 0; f < faces_.size(); ++f) {
      const auto& [a, b, c] = faces_[f];
      const Vec3 p = vertices_.col(a);
      const Vec3 n = (vertices_.col(b) - p).cross(vertices_.col(c) - p);
      face_normals_.col(static_cast<Eigen::Index>(f)) = n.normalized();
      for (const int v : faces_[f]) normals_.col(v) += n;
    }
    for (Eigen::Index v = 0; v < normals_.cols(); ++v) normals_.col(v).normalize();
  };
  if (offset_mm.size() > 0) vertices_ += foot::offset_directions(vertices_, faces_) * offset_mm.asDiagonal();
  straight_ = vertices_;
  const Vec3 turn = look.leg[0] * axis_[0] + look.leg[1] * axis_[1];
  const double angle = turn.norm();
  if (angle > 1e-12)
    for (Eigen::Index v = 0; v < vertices_.cols(); ++v)
      if (const double share = leg_share_[v]; share > 0)
        vertices_.col(v) = ankle_ + Eigen::AngleAxisd(share * angle, turn / angle) * (vertices_.col(v) - ankle_);
  find_normals();
  tree_ = geometry::NearestPoints(vertices_);
}

Hit MovingSurface::nearest(const Vec3& x, const Vec3& normal, bool oriented, double reach_mm,
                           double least_cosine) const {
  const auto agrees = [&](const Vec3& n) {
    const double cosine = n.dot(normal);
    return (oriented ? cosine : std::abs(cosine)) > least_cosine;
  };
  Hit best;
  double least = reach_mm * reach_mm;
  const auto try_faces_round = [&](int v) {
    for (int i = ring_first_[v]; i < ring_first_[v + 1]; ++i) {
      const int f = ring_[i];
      if (!agrees(face_normals_.col(f))) continue;
      const auto& [a, b, c] = faces_[f];
      const Vec3 t = closest_in(x, vertices_.col(a), vertices_.col(b), vertices_.col(c));
      const Vec3 p = t[0] * vertices_.col(a) + t[1] * vertices_.col(b) + t[2] * vertices_.col(c);
      const double squared = (x - p).squaredNorm();
      if (squared >= least) continue;
      least = squared;
      best = {f, t, p, face_normals_.col(f)};
    }
  };
  // A few millimetres more than the reach: the nearest vertex of a face lies farther than the face.
  const auto first = tree_.nearest(x, (reach_mm + 4) * (reach_mm + 4));
  if (first.index < 0) return best;
  try_faces_round(first.index);
  if (best.face >= 0 && agrees(normals_.col(first.index))) return best;
  // The nearest skin looks another way: on thin parts, and between toes, the right side lies a little farther.
  thread_local std::vector<geometry::Neighbour> near;
  tree_.nearest(x, 24, near);
  int tried = 0;
  for (const auto& n : near) {
    if (!agrees(normals_.col(n.index))) continue;
    try_faces_round(n.index);
    if (++tried == 3) break;
  }
  return best;
}

Eigen::Matrix<double, 1, look_count> MovingSurface::slope_at(Eigen::Index v, const Vec3& direction) const {
  Eigen::Matrix<double, 1, look_count> row = Eigen::Matrix<double, 1, look_count>::Zero();
  const Vec3 turn = look_.leg[0] * axis_[0] + look_.leg[1] * axis_[1];
  const double angle = turn.norm(), share = leg_share_[v];
  // What a field moves turns with the leg; the ankle's own motion with the shape is left out (second order).
  Vec3 d = direction;
  if (share > 0 && angle > 1e-12) d = Eigen::AngleAxisd(-share * angle, turn / angle) * direction;
  row.head<foot::shape_count>() = std::exp(look_.shape[0]) * (d.transpose() * fields_.middleRows<3>(3 * v));
  row[0] += d.dot(body_.skin.col(v));
  if (share <= 0) return row;
  const Vec3 arm = vertices_.col(v) - ankle_;
  for (int i = 0; i < 2; ++i) row[foot::shape_count + i] = share * direction.dot(axis_[i].cross(arm));
  return row;
}

Eigen::Matrix<double, 1, look_count> MovingSurface::slope(const Hit& hit, const Vec3& direction) const {
  Eigen::Matrix<double, 1, look_count> row = Eigen::Matrix<double, 1, look_count>::Zero();
  for (int k = 0; k < 3; ++k) row += hit.barycentric[k] * slope_at(faces_[hit.face][k], direction);
  return row;
}

Eigen::MatrixXd MovingSurface::outward_by_shape() const {
  Eigen::MatrixXd out(vertices_.cols(), int{foot::shape_count});
  for (Eigen::Index v = 0; v < vertices_.cols(); ++v)
    out.row(v) = slope_at(v, normals_.col(v)).head<foot::shape_count>();
  return out;
}

bool MovingSurface::at_rim(const Hit& hit) const {
  for (int k = 0; k < 3; ++k)
    if (rim_[faces_[hit.face][k]]) return true;
  return false;
}

}  // namespace aplomb::scan
