// Moves skin points with the linkage and gives their exact first and second derivatives.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "aplomb/contact/problem.h"
#include "aplomb/contact/skin_blend.h"

namespace aplomb::contact {

/// d x / d q of one point, only the columns that are not zero.
struct PointJacobian {
  static constexpr int max_columns = 48;
  Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, max_columns> columns;  ///< 3 x n
  const std::vector<int>* dofs = nullptr;                               ///< n: column -> unknown
};

/// The same told by the link that carries all links of the point: with v and w its twist about the world's origin,
///   dx = weight v + w x arm + beyond . (d q of dofs).
struct Hanging {
  static constexpr int max_columns = 6 + PointJacobian::max_columns;
  int chain = -1;  ///< the same for all points that hang on the same links, so of the same link and dofs
  int link = 0;    ///< that carries it
  double weight = 1;
  Vec3 arm = Vec3::Zero();                                                            ///< mm; times the weight
  Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, PointJacobian::max_columns> beyond;  ///< axes that move a part of it
  const std::vector<int>* dofs = nullptr;                                             ///< of `beyond`
};

using FacingGradient = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, PointJacobian::max_columns>;

/// Built once for a problem; pose() then answers for one q at a time.
class SkinKinematics {
 public:
  explicit SkinKinematics(const Problem& problem);

  void pose(const Eigen::VectorXd& q);                ///< positions of all points at q
  void pose_normals();                                ///< and their normals, after pose()
  void pose_normals(const std::vector<int>& points);  ///< of some only; the others' stay what they were
  const PosedLinkage& linkage() const { return posed_; }
  const std::vector<Vec3>& positions() const { return positions_; }
  const Vec3& position(int point) const { return positions_[point]; }
  const Vec3& normal(int point) const { return normals_[point]; }  ///< outward, unit
  const std::vector<Vec3>& normals() const { return normals_; }
  void jacobian(int point, PointJacobian& out) const;
  void hanging(int point, Hanging& out) const;
  Vec3 normal_now(int point) const;  ///< the same normal from pose() alone, for single points
  /// d (normal . direction) / d q at a fixed unit direction, in the columns of jacobian(point).
  void facing_gradient(int point, const Vec3& direction, FacingGradient& out) const;
  /// The same in the six columns of the twist and those beyond, as hanging(point) has them.
  void facing_row(int point, const Vec3& direction, Eigen::Ref<Eigen::VectorXd> out) const;
  int parent(int link) const { return problem_.linkage.links[static_cast<std::size_t>(link)].parent; }

  /// Position and Jacobian of a point fixed to one link.
  Vec3 link_position(int link, const Vec3& rest) const { return posed_.T_world_link[link] * rest; }
  void link_jacobian(int link, const Vec3& rest, PointJacobian& out) const;

  /// Geometric stiffness: collects forces by link, then adds - sum f . d2x/dq2 to K in one pass.
  void clear_forces();
  void add_force(int point, const Vec3& force);
  void add_link_force(int link, const Vec3& rest, const Vec3& force);
  /// The same for a force on R Y + W t of a link.
  void add_held_force(int link, double weight, const Vec3& moment_rest, const Vec3& force);
  void add_geometric_stiffness(Eigen::MatrixXd& K) const;

 private:
  struct Chain {  ///< all axes that move any of a set of links
    std::array<int, 4> links{-1, -1, -1, -1};
    std::vector<int> axes;             ///< flat axis index
    std::vector<std::uint8_t> movers;  ///< bit j: axis moves links[j]
    std::vector<int> column;           ///< axis -> column
    std::vector<int> dofs;             ///< column -> unknown
    // Told by the link that carries all the others:
    int carrier = 0;
    bool carried = true;              ///< false: the links have none in common, all axes are beyond
    std::vector<std::size_t> beyond;  ///< places in `axes` of those that move only some of the links
    std::vector<int> beyond_column;   ///< of each of these
    std::vector<int> beyond_dofs;     ///< column -> unknown
  };
  void find_carrier(Chain& chain) const;
  void jacobian_of(int chain, const std::array<double, 4>& weights, const std::array<Vec3, 4>& world,
                   PointJacobian& out) const;
  int chain_of(const std::array<int, 4>& links);
  /// What of the normal, not made a unit vector, hangs on each link of the point's chain; returns their sum.
  Vec3 normal_parts(int point, std::array<Vec3, 4>& part) const;

  BlendTables blend_tables() const;

  const Problem& problem_;
  std::vector<std::vector<int>> link_axes_;  ///< per link: flat indices of all axes that move it, outermost first
  std::vector<int> axis_link_, axis_index_;  ///< flat axis -> the last link and place in its chain, to read its pose
  std::vector<int> axis_dof_;
  std::vector<Chain> chains_;
  std::vector<int> point_chain_, link_chain_;
  std::vector<BlendPoint> blend_points_;
  std::vector<std::array<std::uint8_t, 4>> point_order_;  ///< its place among the point's links for each of its chain's
  Eigen::VectorXd q_;                                     ///< posed at
  PosedLinkage posed_;
  std::vector<Vec3> positions_, normals_;
  std::vector<Vec3> link_force_;
  std::vector<Mat3> link_moment_;  ///< sum of f y^T
};

}  // namespace aplomb::contact
