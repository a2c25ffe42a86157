// A small card over the view: something is said or asked on it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "place.h"
#include "screen.h"
#include "widgets.h"

namespace aplomb::viewer {

/// Pre: end_card() follows what is on it. `pivot`: which point of the card stands at `at`, from 0 to 1.
void begin_card(const char* name, const ImVec2& at, const ImVec2& pivot, bool problem);
void end_card();

/// How far from the top of the view cards hang that ask something.
float from_top(const Ui& ui, const ViewRect& rect);

/// The cards over the view; see message_cards().
void scan_card(Ui& ui, Screen& screen, const ViewRect& rect, float width);
void scan_question(Ui& ui, Screen& screen, const ScanQuestion& asked);
void leaving_card(Ui& ui, Screen& screen, const ViewRect& rect, float width);
void recovery_card(Ui& ui, Screen& screen, const ViewRect& rect, float width);

}  // namespace aplomb::viewer
