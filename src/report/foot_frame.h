// What every sheet of a foot has: the side in large letters with title and line, and the cautions under all.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "aplomb/foot/foot.h"
#include "canvas.h"

namespace aplomb::report {

inline constexpr double foot_sheet_edge = 40;

void draw_foot_heading(Canvas& canvas, foot::Side side, const std::string& title, const std::string& line);
void draw_foot_cautions(Canvas& canvas, const std::string& version);

}  // namespace aplomb::report
