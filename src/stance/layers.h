// Tights, padding, tape and spacers of the shoe laid on the foot's skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/problem.h"
#include "aplomb/foot/foot.h"
#include "aplomb/shoe/parameters.h"

namespace aplomb::stance {

/// Pre: the problem's points are the foot's contact points and its pairs the neighbouring toes, hallux first.
void lay_on(contact::Problem& problem, const foot::Foot& foot, const shoe::Layers& layers);

}  // namespace aplomb::stance
