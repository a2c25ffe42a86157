// Forward kinematics and skinning, plain and without derivatives: the solver has its own.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/pose.h"

#include <algorithm>

namespace aplomb::foot {

using geometry::rad_per_deg;

namespace {

Isometry turn_of(const JointAxis& joint, double angle) {
  return Eigen::Translation3d(joint.centre_F) * Eigen::AngleAxisd(angle, joint.axis_F) *
         Eigen::Translation3d(-joint.centre_F);
}

/// Slide of an in-between bone at the angle of the first axis on its way, for a size of one.
Vec3 slide_of(const Between& between, const Vec3& axis, double angle) {
  return between.bulge * angle + Eigen::AngleAxisd(angle, axis) * between.dip - between.dip -
         angle * axis.cross(between.dip);
}

}  // namespace

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

JointAngles on_demi_pointe(const Foot& foot) {
  JointAngles q = pointed(foot);
  for (std::size_t j = 0; j < q.size(); ++j) {
    const JointAxis& joint = foot.joints[j];
    if (!joint.name.starts_with("MTP")) continue;
    q[j] = joint.name.ends_with("_splay") ? 0 : joint.min_deg * rad_per_deg;
  }
  return q;
}

std::vector<Isometry> pose_bones(const Foot& foot, const JointAngles& q) {
  std::vector<Isometry> T(bone_count, Isometry::Identity());
  std::vector<Isometry> own(bone_count, Isometry::Identity());
  for (std::size_t j = 0; j < foot.joints.size(); ++j) {
    const JointAxis& joint = foot.joints[j];
    own[joint.bone] = own[joint.bone] * turn_of(joint, q[j]);
  }
  for (int bone = 1; bone < anatomical_bone_count; ++bone) T[bone] = T[bone_parent(bone)] * own[bone];
  for (int bone = anatomical_bone_count; bone < bone_count; ++bone) {
    const Between between = between_of(bone);
    T[bone] = T[between.from];
    const std::vector<int> way = bones_on_the_way(between.from, between.to);
    const auto first = std::find_if(foot.joints.begin(), foot.joints.end(),
                                    [&](const JointAxis& joint) { return joint.bone == way.front(); });
    if (first != foot.joints.end()) {
      const double angle = q[first - foot.joints.begin()];
      const double size = foot.length_mm * foot.bulge[static_cast<int>(between.fold)];
      T[bone] = T[bone] * Eigen::Translation3d(size * slide_of(between, first->axis_F, angle));
    }
    for (const int turned : way)
      for (std::size_t j = 0; j < foot.joints.size(); ++j)
        if (foot.joints[j].bone == turned) T[bone] = T[bone] * turn_of(foot.joints[j], between.share * q[j]);
  }
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
