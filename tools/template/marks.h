// The plantar midline and the landmarks on the finished skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/foot/foot.h"
#include "tables.h"

namespace aplomb::template_tool {

/// Fills plantar_midline (2 mm apart), arch_back, arch_apex, arch_front (x 54, 98, 150 of the table).
void mark_midline(const Anatomy& anatomy, foot::Foot& foot);

/// Fills landmarks. "On the skin" means straight out from the bone point in the named direction.
/// ankle_centre; heel_back, heel_back_upper (skin, z 27 and 50); MThead1..5 (joint centres); bonetip1..5; tip1..5
/// (foremost skin); lateral_malleolus, medial_malleolus, navicular_tuberosity, mt5_styloid, instep (skin).
void mark_landmarks(const Anatomy& anatomy, foot::Foot& foot);

}  // namespace aplomb::template_tool
