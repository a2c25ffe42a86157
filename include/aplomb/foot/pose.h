// Forward kinematics and linear blend skinning of the foot.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <string>
#include <vector>

#include "aplomb/foot/foot.h"

namespace aplomb::foot {

using geometry::Isometry;

/// Angle of every joint of the foot in its order, rad; zero is the standing pose.
using JointAngles = std::vector<double>;

/// Angles by name in degrees; unnamed joints stay at zero. Names the foot lacks are ignored.
JointAngles angles_by_name(const Foot& foot, const std::map<std::string, double>& angle_deg);

/// The foot pointed with straight toes: ankle, midtarsal, naviculocuneiform and TMT joints at `share` of their greatest
/// plantar flexion, toe joints straight (their splay too).
JointAngles pointed(const Foot& foot, double share = 1.0);

/// Demi-pointe as far as it goes: the foot pointed, every toe bent up at its MTP joint to the end of its range,
/// straight beyond.
JointAngles on_demi_pointe(const Foot& foot);

/// Motion of each bone in frame F of the rest pose: T = T_parent * Rot(axis_1, centre_1, q_1) * Rot(axis_2, ...), axes
/// in the order of foot.joints; an in-between bone's the same with its share of the angles. The tibia stays.
/// Pre: q.size() == foot.joints.size().
std::vector<Isometry> pose_bones(const Foot& foot, const JointAngles& q);

/// Skin vertices moved by the bones (linear blend skinning).
std::vector<Vec3> pose_skin(const Skin& skin, const std::vector<Isometry>& T_bone);
/// Contact points: in the faces of the posed skin.
std::vector<Vec3> contact_positions(const Foot& foot, const std::vector<Vec3>& posed_skin);
/// Landmarks and joint centres with their bones.
std::map<std::string, Vec3> pose_landmarks(const Foot& foot, const std::vector<Isometry>& T_bone);

}  // namespace aplomb::foot
