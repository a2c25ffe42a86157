// Rows of numbers, as the panels of shoe, foot and constants list them.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <string>

#include "screen.h"
#include "widgets.h"

namespace aplomb::viewer {

/// Lengths in inches when asked.
void set_units(NumberRow& row, const std::string& unit, bool inches);

/// Digits after the point with which a number of this size is shown.
int decimals_of(double value);

/// Handles one slider of changed numbers; true while it is dragged.
bool edit(Ui& ui, const NumberRow& row, std::map<std::string, double>& changes, const std::string& key);

void shoe_numbers(Ui& ui, Screen& screen);
void layer_numbers(Ui& ui, Screen& screen, const shoe::ShoeParameters& given);
void shank_table(Ui& ui, Screen& screen, const shoe::ShoeParameters& now);
void foot_numbers(Ui& ui, Screen& screen);
void constant_numbers(Ui& ui, Screen& screen);

}  // namespace aplomb::viewer
