// Poses the toes and makes that pose the rest pose.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "posture.h"

#include <algorithm>
#include <string>

#include "aplomb/foot/pose.h"

namespace aplomb::foot {

using geometry::rad_per_deg;

namespace {

/// Makes the pose q the rest pose of everything: T(q + q') T(q)^-1 is a chain of the moved axes at q'.
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

}  // namespace

void bend_toes(Foot& foot, const std::array<double, toe_count>& bend_deg,
               const std::array<double, toe_count>& lift_mm) {
  JointAngles q(foot.joints.size(), 0.0);
  bool any = false;
  for (int toe = 0; toe < toe_count; ++toe) {
    if (bend_deg[toe] == 0 && lift_mm[toe] == 0) continue;
    const std::string number = std::to_string(toe + 1);
    const int mtp = joint_index(foot, "MTP" + number), knuckle = joint_index(foot, (toe == 0 ? "IP" : "PIP") + number);
    const auto tip = foot.landmarks.find("bonetip" + number);
    if (mtp < 0 || knuckle < 0 || tip == foot.landmarks.end()) continue;
    any = true;
    q[knuckle] = bend_deg[toe] * rad_per_deg;
    const double goal = tip->second.position_F.z() + lift_mm[toe];
    // The tip's height falls steadily as the toe turns down at its root: halving finds the angle that meets the goal.
    double up = -80 * rad_per_deg, down = 40 * rad_per_deg;
    for (int step = 0; step < 50; ++step) {
      q[mtp] = (up + down) / 2;
      const double height = (pose_bones(foot, q)[tip->second.bone] * tip->second.position_F).z();
      (height > goal ? up : down) = q[mtp];
    }
  }
  if (any) take_as_rest(foot, q);
}

}  // namespace aplomb::foot
