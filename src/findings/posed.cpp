// Poses bones and skin of a stance.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "posed.h"

#include <fmt/format.h>

namespace aplomb::findings {

std::string numbered(const char* stem, int toe) { return fmt::format("{}{}", stem, toe + 1); }

PosedFoot pose_foot(const stance::Stance& stance, const contact::Equilibrium& state) {
  return {&stance, &state, contact::pose(stance.problem->linkage, state.q).T_world_link};
}

Vec3 PosedFoot::joint_centre_S(const std::string& name) const {
  const foot::JointAxis& axis = stance->foot->joints[static_cast<std::size_t>(foot::joint_index(*stance->foot, name))];
  return T_S_bone[static_cast<std::size_t>(foot::bone_parent(axis.bone))] * axis.centre_F;
}

Vec3 PosedFoot::landmark_S(const std::string& name) const {
  const foot::Landmark& landmark = stance->foot->landmarks.at(name);
  return T_S_bone[static_cast<std::size_t>(landmark.bone)] * landmark.position_F;
}

Vec3 PosedFoot::vertex_S(int vertex) const {
  const foot::Skin& skin = stance->foot->skin;
  Vec3 x = Vec3::Zero();
  for (int j = 0; j < 4; ++j)
    if (skin.weights[vertex][j] > 0)
      x += skin.weights[vertex][j] * (T_S_bone[skin.bones[vertex][j]] * skin.vertices_F[vertex]);
  return x;
}

Vec3 PosedFoot::skin_point_S(int face, const Vec3& barycentric) const {
  const auto& corners = stance->foot->skin.faces[face];
  Vec3 x = Vec3::Zero();
  for (int k = 0; k < 3; ++k) x += barycentric[k] * vertex_S(corners[k]);
  return x;
}

Vec3 PosedFoot::contact_point_S(int i) const {
  const contact::SkinPoint& point = stance->problem->points[i];
  Vec3 x = Vec3::Zero();
  for (int j = 0; j < 4; ++j) x += point.weights[j] * (T_S_bone[point.links[j]] * point.position_rest);
  return x;
}

Vec3 PosedFoot::contact_normal_S(int i) const {
  const contact::SkinPoint& point = stance->problem->points[i];
  Vec3 n = Vec3::Zero();
  for (int j = 0; j < 4; ++j) n += point.weights[j] * (T_S_bone[point.links[j]].linear() * point.normal_rest);
  return n.normalized();
}

double tip_layer_mm(const foot::Foot& foot, int toe) {
  return (foot.landmarks.at(numbered("tip", toe)).position_F - foot.landmarks.at(numbered("bonetip", toe)).position_F)
      .norm();
}

}  // namespace aplomb::findings
