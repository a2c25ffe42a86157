// The numbers of a foot for people and programs.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "aplomb/foot/foot.h"
#include "aplomb/io/json.h"

namespace aplomb::app {

/// {format "aplomb-foot-numbers", format_version 1, side, plan_box_mm [length, breadth], every card key as a number
/// (toes as nested tables, as on the card), sd{} and residual{} (fitted minus card) under the same keys}.
io::Json foot_numbers_json(const foot::Foot& foot);

/// One line a number: key, value, standard deviation, where it comes from.
std::string foot_numbers_table(const foot::Foot& foot);

}  // namespace aplomb::app
