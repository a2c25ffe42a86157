// The numbers of a foot for programs, and what is surprising about them.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/foot/card.h"
#include "aplomb/foot/foot.h"
#include "aplomb/foot/prior.h"
#include "aplomb/foot/shape.h"
#include "aplomb/io/error.h"
#include "aplomb/io/json.h"

namespace aplomb::app {

/// {format "aplomb-foot-numbers", format_version 1, side, plan_box_mm [length, breadth], every card key as a number
/// (toes as nested tables, as on the card), sd{}, source{} and residual{} (fitted minus card) under the same keys,
/// notes[]: what the prior is}.
io::Json foot_numbers_json(const foot::Foot& foot, const std::vector<std::string>& notes);

/// The load that a foot's measurements are of. A foot file does not say: its breadth against that of the standing foot
/// does.
foot::Load load_of(const foot::Foot& foot);

/// foot::surprises() of the standing foot's dimensions that do not come from the prior.
std::vector<foot::Surprise> surprises_of(const foot::Foot& foot, const foot::ShapeModel& model,
                                         const foot::Prior& prior);

}  // namespace aplomb::app
