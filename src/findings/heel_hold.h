// What holds the heel in the shoe, as the findings need it. The one place in the findings that knows how.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "posed.h"

namespace aplomb::findings {

struct HeelHold {
  bool held = false;            ///< pulls enough to lay the shank against the arch
  Vec3 force_N = Vec3::Zero();  ///< on the foot
};

HeelHold heel_hold(const PosedFoot& posed);

}  // namespace aplomb::findings
