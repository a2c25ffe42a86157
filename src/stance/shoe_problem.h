// A foot in a shoe as an equilibrium problem, in any position.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/problem.h"
#include "aplomb/contact/skin.h"
#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/stance/stand.h"

namespace aplomb::stance {

/// Box fixed in S, foot loaded at the ankle against `ground`'s up, heel held by the upper on a bending shank. Springs
/// and steering are the position's to add.
io::Result<contact::Problem> shoe_problem(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                                          double load_N, const Ground& ground = {});

/// The upper as two bands: throat - heel - rear end of the sole, drawn by the drawstring; and ribbon with elastic.
std::vector<contact::Band> upper_bands(const foot::Foot& foot, const shoe::Shoe& shoe, const contact::Rod& rod);

/// Lets the shoe lie on the sole side of its box: the sole may lie on the floor too, and carries toes and ball where
/// the box ends.
void lie_on_floor(contact::Problem& problem, const foot::Foot& foot, const Constants& constants, const Ground& ground);

/// Whether the box presses skin, posed where it stands, by more than this share of its thickness.
bool pressed_past(double share, const contact::Problem& problem, const contact::SkinKinematics& skin);

/// The joints' springs replaced; those of what gives stay, after them.
void set_joint_springs(contact::Problem& problem, std::vector<contact::JointSpring> joints);

/// Place of a problem's spring of that unknown. Pre: it has one.
int spring_index(const contact::Problem& problem, int dof);

/// Shank and sole as the rod of a problem, after the foot's unknowns.
contact::Rod shank_rod(const shoe::ShankSpec& spec);

}  // namespace aplomb::stance
