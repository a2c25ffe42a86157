// Toes that do not lie as the template's do: bent at the first knuckle, lifted off the floor.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>

#include "aplomb/foot/foot.h"
#include "aplomb/foot/measure.h"
#include "aplomb/foot/pose.h"

namespace aplomb::foot {

/// Joint angles, rad, that bend each toe of a standing foot at its first knuckle (PIP, IP of the hallux) by bend_deg
/// and turn it at the MTP joint so that the lowest skin beyond that knuckle stands lift_mm above the floor (z = 0), or,
/// where that is not known, as high as before. Within 80 deg up and 40 down the MTP joint does what it can. All zero
/// when nothing is asked.
JointAngles toe_posture(const Foot& standing, const Sites& sites, const std::array<double, toe_count>& bend_deg,
                        const std::array<std::optional<double>, toe_count>& lift_mm);

/// Height of the lowest skin beyond the first knuckle of a toe as the foot lies, above z = 0.
double toe_clearance_mm(const Foot& foot, const Sites& sites, int toe);

/// Makes the pose q the rest pose of skin, joints and landmarks: joint angles, ranges and straight angles count from
/// it.
void take_as_rest(Foot& foot, const JointAngles& q);

}  // namespace aplomb::foot
