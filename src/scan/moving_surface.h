// The skin of the shape model as a surface that scan points are compared with while shape and stance of the leg change.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <memory>
#include <vector>

#include "aplomb/foot/card.h"
#include "aplomb/foot/shape.h"
#include "aplomb/geometry/nearest.h"

namespace aplomb::scan {

using geometry::Vec2;
using geometry::Vec3;

/// What the scanned foot looks like, frame F. The leg of a scan leans as it happened to: two angles about the ankle's
/// axes turn it against the foot, and are left out of the foot that is kept.
struct Look {
  foot::Shape shape = foot::Shape::Zero();  ///< of the foot under the load it was scanned with
  Vec2 leg = Vec2::Zero();                  ///< rad: dorsiflexion, inversion of the foot against the leg
};
inline constexpr int look_count = foot::shape_count + 2;

/// Where on the skin a point belongs.
struct Hit {
  int face = -1;                    ///< -1: none
  Vec3 barycentric = Vec3::Zero();  ///< of the face's corners
  Vec3 point = Vec3::Zero();        ///< F, mm
  Vec3 normal = Vec3::UnitZ();      ///< outward
};

class MovingSurface {
 public:
  /// `load` says whether heel pad and floor are those of an unloaded foot. Pre: the model outlives this.
  MovingSurface(const foot::ShapeModel& model, foot::Load load);

  /// Moves the skin; `offset_mm` along foot::offset_directions (one for each vertex) may be empty.
  void set(const Look& look, const Eigen::VectorXd& offset_mm = {});

  const Eigen::Matrix3Xd& vertices() const { return vertices_; }
  const Eigen::Matrix3Xd& normals() const { return normals_; }
  const foot::Body& body() const { return body_; }                ///< leg straight, no offset
  const Eigen::Matrix3Xd& straight() const { return straight_; }  ///< skin with its offset, leg straight
  const std::vector<std::array<int, 3>>& faces() const { return faces_; }

  /// The nearest place on the skin within `reach_mm`, of those whose normal agrees with `normal` by more than
  /// `least_cosine`; the sign of `normal` counts when `oriented`. The flat cut over the ankle is no skin.
  Hit nearest(const Vec3& x, const Vec3& normal, bool oriented, double reach_mm, double least_cosine) const;

  /// d point / d look at a hit, dotted with `direction`.
  Eigen::Matrix<double, 1, look_count> slope(const Hit& hit, const Vec3& direction) const;

  /// The same of a vertex.
  Eigen::Matrix<double, 1, look_count> slope_at(Eigen::Index vertex, const Vec3& direction) const;

  /// d skin / d shape at every vertex, along its normal: V x shape.
  Eigen::MatrixXd outward_by_shape() const;

  bool is_rim(Eigen::Index vertex) const { return rim_[vertex]; }

  /// Whether the hit lies at the rim of the skin above the ankle, where a leg goes on that the model has not.
  bool at_rim(const Hit& hit) const;

  bool is_cap_face(int face) const { return cap_[face]; }

 private:
  const foot::ShapeModel& model_;
  foot::Load load_;
  std::vector<std::array<int, 3>> faces_;
  std::vector<bool> cap_;               // by face
  std::vector<bool> rim_;               // by vertex
  std::vector<double> leg_share_;       // by vertex
  std::vector<int> ring_first_, ring_;  // faces round each vertex, caps left out
  Eigen::Matrix<double, Eigen::Dynamic, foot::shape_count, Eigen::RowMajor> fields_;  // model.skin, by rows
  Eigen::Matrix3Xd relief_;  // unloaded heel pad at the template's size; zero under load
  Look look_;
  foot::Body body_;
  Eigen::Matrix3Xd vertices_, straight_, normals_, face_normals_;
  geometry::NearestPoints tree_;
  Vec3 ankle_ = Vec3::Zero(), axis_[2];
};

}  // namespace aplomb::scan
