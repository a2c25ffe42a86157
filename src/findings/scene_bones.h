// Bones of a posed foot as shapes to draw.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/findings/findings.h"
#include "posed.h"

namespace aplomb::findings {

/// In S: every bone from joint to joint as solved. Thickness is a drawing of a usual bone at the foot's length [guess].
std::vector<BoneShape> bone_shapes(const PosedFoot& rest);

}  // namespace aplomb::findings
