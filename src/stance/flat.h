// Standing on the sole: parallel and demi-plie.
//
// The shoe lies on the floor on the sole side of its box and on its sole, which may lift but not pass the floor. The
// foot stands on the insole with heel and ball, its toes in the box; her heel is set back in its seat. The line of
// force passes where she is said to stand.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/problem.h"
#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/stance/stand.h"

namespace aplomb::stance {

/// Springs of a foot that stands on its sole: joints about the unloaded foot, toes as they grew, the ankle held.
/// `arch` rad by which midtarsal and tarsometatarsal joints rest flatter than in the unloaded foot.
std::vector<contact::JointSpring> flat_springs(const foot::Foot& foot, const Constants& constants, double arch = 0);

/// Plantar fascia and ligaments: from the heel bone under each ray's head to the toe, slack at first. A toe that is
/// bent up draws them taut (windlass; Hicks 1954).
std::vector<contact::Band> plantar_bands(const foot::Foot& foot, const Constants& constants);

io::Result<contact::Problem> flat_problem(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                                          double load_N, const Ground& ground);

/// The unloaded foot on the insole, shin leant forward, heel toward its seat, drawn back until the box presses it
/// little.
Eigen::VectorXd flat_start(const contact::Problem& problem, const foot::Foot& foot, const shoe::Shoe& shoe,
                           const Ground& ground, double lean_deg);

}  // namespace aplomb::stance
