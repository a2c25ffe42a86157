// Full pointe as an equilibrium problem.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/problem.h"
#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/stance/stand.h"

namespace aplomb::stance {

/// Platform on the floor, box fixed in S, foot loaded at the ankle along -S.z, heel held by the upper on a bending
/// shank.
io::Result<contact::Problem> pointe_problem(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                                            double load_N);

/// Aims the ankle of a built problem (rad).
void command_ankle(contact::Problem& problem, const foot::Foot& foot, const Constants& constants, double ankle,
                   double subtalar);

/// Where the descent into the box starts: pointed, toes straight, over the box, nothing compressed much, the shank bent
/// away.
Eigen::VectorXd pointe_start(const contact::Problem& problem, const foot::Foot& foot, const shoe::Shoe& shoe,
                             const Constants& constants, double ankle_command);

}  // namespace aplomb::stance
