// Poses the toes and makes that pose the rest pose.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "posture.h"

#include <algorithm>
#include <limits>

namespace aplomb::foot {

using geometry::rad_per_deg;

namespace {

/// The skin beyond a toe's first knuckle: vertices that hang mostly on its last bones.
Skin last_part(const Foot& foot, const Sites& sites, int toe) {
  Skin part;
  for (const int v : sites.toe_vertices[toe]) {
    double share = 0;
    for (int i = 0; i < 4; ++i) {
      const int bone = foot.skin.bones[v][i];
      const bool last =
          bone == distal0 + toe || (toe > 0 && (bone == middle1 + toe - 1 || bone == dip_between1 + toe - 1));
      if (last) share += foot.skin.weights[v][i];
    }
    if (share < 0.5) continue;
    part.vertices_F.push_back(foot.skin.vertices_F[v]);
    part.bones.push_back(foot.skin.bones[v]);
    part.weights.push_back(foot.skin.weights[v]);
  }
  return part;
}

double lowest(const std::vector<Vec3>& points) {
  double low = std::numeric_limits<double>::max();
  for (const Vec3& p : points) low = std::min(low, p.z());
  return low;
}

}  // namespace

void take_as_rest(Foot& foot, const JointAngles& q) {
  const std::vector<Isometry> T_bone = pose_bones(foot, q);
  foot.skin.vertices_F = pose_skin(foot.skin, T_bone);
  for (auto& [name, landmark] : foot.landmarks) landmark.position_F = T_bone[landmark.bone] * landmark.position_F;
  std::vector<Isometry> before(bone_count, Isometry::Identity());  // own axes of a bone already passed
  std::vector<JointAxis> moved = foot.joints;
  for (std::size_t j = 0; j < foot.joints.size(); ++j) {
    const JointAxis& joint = foot.joints[j];
    const Isometry T = T_bone[std::max(0, bone_parent(joint.bone))] * before[joint.bone];
    moved[j].centre_F = T * joint.centre_F;
    moved[j].axis_F = T.linear() * joint.axis_F;
    const double turned_deg = q[j] / rad_per_deg;
    moved[j].straight_deg = joint.straight_deg - turned_deg;
    moved[j].min_deg = std::min(0.0, joint.min_deg - turned_deg);
    moved[j].max_deg = std::max(0.0, joint.max_deg - turned_deg);
    // A toe stiff in its bend does not come straight within its range; straight is where it would be.
    moved[j].straight_deg = std::clamp(moved[j].straight_deg, moved[j].min_deg, moved[j].max_deg);
    before[joint.bone] = before[joint.bone] * Eigen::Translation3d(joint.centre_F) *
                         Eigen::AngleAxisd(q[j], joint.axis_F) * Eigen::Translation3d(-joint.centre_F);
  }
  foot.joints = std::move(moved);
}

double toe_clearance_mm(const Foot& foot, const Sites& sites, int toe) {
  return lowest(last_part(foot, sites, toe).vertices_F);
}

JointAngles toe_posture(const Foot& standing, const Sites& sites, const std::array<double, toe_count>& bend_deg,
                        const std::array<std::optional<double>, toe_count>& lift_mm) {
  JointAngles q(standing.joints.size(), 0.0);
  for (int toe = 0; toe < toe_count; ++toe) {
    if (bend_deg[toe] == 0 && !lift_mm[toe]) continue;
    const int mtp = sites.mtp[toe], knuckle = sites.knuckle[toe];
    if (mtp < 0 || knuckle < 0) continue;
    const Skin part = last_part(standing, sites, toe);
    q[knuckle] = bend_deg[toe] * rad_per_deg;
    const double goal = lift_mm[toe].value_or(lowest(part.vertices_F));
    // The part sinks steadily as the toe turns down at its root: halving finds the angle that meets the goal.
    double up = -80 * rad_per_deg, down = 40 * rad_per_deg;
    for (int step = 0; step < 40; ++step) {
      q[mtp] = (up + down) / 2;
      (lowest(pose_skin(part, pose_bones(standing, q))) > goal ? up : down) = q[mtp];
    }
  }
  return q;
}

}  // namespace aplomb::foot
