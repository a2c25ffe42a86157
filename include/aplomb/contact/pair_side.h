// One side of a pair of skins: where its points are, and which of them a point of the other side could press on.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <utility>
#include <vector>

#include "aplomb/contact/skin.h"

namespace aplomb::contact {

/// Which partners have weight, mm; see PairSide::look().
struct PartnerReach {
  double across_mm = 0;   ///< farther across the point's normal they have none
  double along_mm = 0;    ///< nor farther than this along it from where skin would just touch
  double between_mm = 0;  ///< how far apart that is
};

/// A normal that turns by an angle counts as much as skin this far out moving.
inline constexpr double turning_arm_mm = 8;

struct LookColumns;

/// All in one frame of the caller's choice, the same for both sides.
class PairSide {
 public:
  PairSide() = default;
  PairSide(const std::vector<SkinPoint>& skin, std::vector<int> points);

  /// Brings everything to where the skin is now; returns the most that a point has moved, or a normal turned (times
  /// turning_arm_mm), since the last time; 0 the first time.
  double follow(const SkinKinematics& skin, const Isometry& T_frame_world);

  /// Which of these points have weight for one at `p` facing along `n`: within reach, facing it. Gives them by number
  /// (weights 0) in the order of points(), some that just have none among them. Where there are none it returns how
  /// far the two sides may move in the sense of follow(), both added up, before there could be one; else 0.
  double look(const Vec3& p, const Vec3& n, const PartnerReach& reach,
              std::vector<std::pair<int, double>>& partners) const;

  /// In an order of its own, so that those in a row are neighbours.
  const std::vector<int>& points() const { return points_; }
  const Vec3& at(std::size_t k) const { return at_[k]; }
  const Vec3& normal(std::size_t k) const { return normals_[k]; }

  /// Of each point, for the caller: the travel of the pair up to which it need not be looked at, and the item it has.
  std::vector<double> quiet_until;
  std::vector<int> item;

 private:
  std::vector<int> points_;
  std::vector<Vec3> at_, normals_;
  /// Places and normals, each coordinate by itself and filled up to whole blocks, so that looking at many vectorises.
  struct Columns {
    Eigen::ArrayXf x, y, z, nx, ny, nz;
    void resize(Eigen::Index count);
    void set(Eigen::Index k, const Vec3& at, const Vec3& normal);
    LookColumns lanes() const;
  };
  mutable std::vector<int> near_;  ///< room for a look: one at a time
  Columns of_points_;
  Columns of_blocks_;      ///< the middles of blocks of points
  Eigen::ArrayXf spread_;  ///< how far each lies from its middle, or turns from it (times turning_arm_mm), at most
};

}  // namespace aplomb::contact
