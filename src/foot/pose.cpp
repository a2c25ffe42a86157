// Forward kinematics and skinning, plain and without derivatives: the solver has its own.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/pose.h"

#include <algorithm>

namespace aplomb::foot {

using geometry::rad_per_deg;

JointAngles angles_by_name(const Foot& foot, const std::map<std::string, double>& angle_deg) {
  JointAngles q(foot.joints.size(), 0.0);
  for (std::size_t j = 0; j < q.size(); ++j)
    if (const auto found = angle_deg.find(foot.joints[j].name); found != angle_deg.end())
      q[j] = found->second * rad_per_deg;
  return q;
}

JointAngles pointed(const Foot& foot, double share) {
  JointAngles q(foot.joints.size(), 0.0);
  for (std::size_t j = 0; j < q.size(); ++j) {
    const JointAxis& joint = foot.joints[j];
    const bool flexes = joint.name == "ankle" || joint.name == "midtarsal" || joint.name == "naviculocuneiform" ||
                        (joint.name.starts_with("TMT") && !joint.name.ends_with("_splay"));
    q[j] = (flexes ? share * joint.max_deg : joint.straight_deg) * rad_per_deg;
  }
  return q;
}

std::vector<Isometry> pose_bones(const Foot& foot, const JointAngles& q) {
  std::vector<Isometry> T(bone_count, Isometry::Identity());
  std::vector<Isometry> own(bone_count, Isometry::Identity());
  for (std::size_t j = 0; j < foot.joints.size(); ++j) {
    const JointAxis& joint = foot.joints[j];
    own[joint.bone] = own[joint.bone] * Eigen::Translation3d(joint.centre_F) * Eigen::AngleAxisd(q[j], joint.axis_F) *
                      Eigen::Translation3d(-joint.centre_F);
  }
  for (int bone = 1; bone < bone_count; ++bone) T[bone] = T[bone_parent(bone)] * own[bone];
  return T;
}

std::vector<Vec3> pose_skin(const Skin& skin, const std::vector<Isometry>& T_bone) {
  std::vector<Vec3> out(skin.vertices_F.size(), Vec3::Zero());
  for (std::size_t v = 0; v < out.size(); ++v)
    for (int i = 0; i < 4; ++i)
      if (skin.weights[v][i] > 0) out[v] += skin.weights[v][i] * (T_bone[skin.bones[v][i]] * skin.vertices_F[v]);
  return out;
}

std::vector<Vec3> contact_positions(const Foot& foot, const std::vector<Vec3>& posed_skin) {
  std::vector<Vec3> out;
  out.reserve(foot.contact_points.size());
  for (const ContactPoint& point : foot.contact_points) {
    const auto& [a, b, c] = foot.skin.faces[point.face];
    out.push_back(point.barycentric[0] * posed_skin[a] + point.barycentric[1] * posed_skin[b] +
                  point.barycentric[2] * posed_skin[c]);
  }
  return out;
}

std::map<std::string, Vec3> pose_landmarks(const Foot& foot, const std::vector<Isometry>& T_bone) {
  std::map<std::string, Vec3> out;
  for (const auto& [name, landmark] : foot.landmarks) out[name] = T_bone[landmark.bone] * landmark.position_F;
  for (const JointAxis& joint : foot.joints) out[joint.name] = T_bone[joint.bone] * joint.centre_F;
  return out;
}

}  // namespace aplomb::foot
