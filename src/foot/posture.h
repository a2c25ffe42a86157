// Toes that do not lie as the template's do: bent at the first knuckle, lifted off the floor.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

#include "aplomb/foot/foot.h"

namespace aplomb::foot {

/// Bends each toe at its first knuckle (PIP, IP of the hallux) by bend_deg and turns it at the MTP joint so that its
/// pad stands lift_mm higher than in the template; the new pose becomes the rest pose: joint angles, ranges and
/// straight angles count from it. Does nothing for toes with both zero.
void bend_toes(Foot& foot, const std::array<double, toe_count>& bend_deg, const std::array<double, toe_count>& lift_mm);

}  // namespace aplomb::foot
