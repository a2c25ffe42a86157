// The top of every sheet: which foot, in which shoe, how loaded; and whether there is anything to draw at all.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/findings/findings.h"
#include "aplomb/io/error.h"
#include "canvas.h"

namespace aplomb::report {

/// Badge with the side, position, and a line with foot, shoe, load, friction and outcome. Letters are `scale` times 40
/// and 22 units high.
void draw_heading(Canvas& canvas, const Rect& rect, const findings::Findings& findings, double scale);

/// Errors: not_converged (no equilibrium, or a number is not finite); bad_input (scene without skin, or of the other
/// foot).
io::Result<void> check_drawable(const findings::Scene& scene, const findings::Findings& findings);

}  // namespace aplomb::report
