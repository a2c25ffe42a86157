// What keys do beside what ImGui does with them.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "screen.h"

namespace aplomb::viewer {

/// Keys that work everywhere; call once a frame.
void take_keys(Screen& screen);

/// Gives the keyboard to the next panel that is there, and shows where it is.
void focus_next_panel();

}  // namespace aplomb::viewer
