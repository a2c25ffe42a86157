// The foot of a stance, posed at one equilibrium: bones, joints and skin in the shoe frame S.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "aplomb/contact/linkage.h"
#include "aplomb/stance/stand.h"

namespace aplomb::findings {

using geometry::Isometry;
using geometry::Vec2;
using geometry::Vec3;

struct PosedFoot {
  const stance::Stance* stance = nullptr;
  const contact::Equilibrium* state = nullptr;
  std::vector<Isometry> T_S_bone;

  /// A joint's centre, moved by the parent side of the joint (it is the same on both sides).
  Vec3 joint_centre_S(const std::string& name) const;
  Vec3 landmark_S(const std::string& name) const;
  /// Linear blend of a point given in a face of the skin.
  Vec3 skin_point_S(int face, const Vec3& barycentric) const;
  Vec3 contact_point_S(int contact_point) const;
  Vec3 contact_normal_S(int contact_point) const;
  Vec3 vertex_S(int vertex) const;
};

PosedFoot pose_foot(const stance::Stance& stance, const contact::Equilibrium& state);

/// Numbered names: "MTP" and 0 give "MTP1".
std::string numbered(const char* stem, int toe);

/// Unloaded tissue beyond the bone tip of a toe, along the bone, mm.
double tip_layer_mm(const foot::Foot& foot, int toe);

}  // namespace aplomb::findings
