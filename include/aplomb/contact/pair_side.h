// One side of a pair of skins: where its points are, and which of them a point of the other side could press on.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <span>
#include <vector>

#include "aplomb/contact/plane_point.h"
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

  struct Seen {
    std::span<const int> partners;  ///< places in points(), rising; until the next look
    double clear_mm = 0;
  };
  /// Which of these points have weight for one at `p` facing along `n`: within reach, facing it; some that just have
  /// none are among them. Where there are none clear_mm says how far the two sides may move in the sense of follow(),
  /// both added up, before there could be one.
  Seen look(const Vec3& p, const Vec3& n, const PartnerReach& reach) const;

  /// In an order of its own, so that those in a row are neighbours.
  const std::vector<int>& points() const { return points_; }
  const std::vector<PlanePoint>& plane_points() const { return plane_points_; }
  /// That its points hang on.
  const std::vector<int>& links() const { return links_; }
  const std::vector<Vec3>& places() const { return at_; }
  const std::vector<Vec3>& normals() const { return normals_; }
  const Vec3& at(std::size_t k) const { return at_[k]; }
  const Vec3& normal(std::size_t k) const { return normals_[k]; }

  /// How far a point, or the most of those in some chunks (one bit each), has moved in the last follow().
  double moved_mm(std::size_t k) const { return moved_[k]; }
  double moved_mm(unsigned chunks) const { return most_moved_[chunks]; }
  /// Chunks that may hold a point no farther from p than this.
  unsigned chunks_near(const Vec3& p, double mm) const;
  int chunk_of(std::size_t k) const { return static_cast<int>(k / chunk_points_); }

  /// Of each point, for the caller: how far it and the chunks that count for it may move before it is looked at, what
  /// the pair had travelled when it was, and the item it has.
  struct Quiet {
    double left_mm = -1;
    unsigned chunks = 0;
    double travel_mm = 0;
  };
  std::vector<Quiet> quiet;
  std::vector<int> item;

 private:
  static constexpr int most_chunks = 8;
  std::vector<int> points_, links_;
  std::vector<PlanePoint> plane_points_;
  std::vector<Vec3> at_, normals_;
  // Runs of whole blocks, each with the box it fills.
  std::size_t chunk_points_ = 1;
  std::vector<Vec3> chunk_low_, chunk_high_;
  std::vector<double> moved_, most_moved_;  ///< of each point; of each set of chunks
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
