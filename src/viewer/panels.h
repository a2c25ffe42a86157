// The panels: each fills the current ImGui window or the rectangle given, changes the state, and asks for the rest.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/report/rows.h"
#include "place.h"
#include "screen.h"
#include "widgets.h"

namespace aplomb::viewer {

void top_panel(Ui& ui, Screen& screen);
void numbers_panel(Ui& ui, Screen& screen);
void findings_panel(Ui& ui, Screen& screen);
/// Pre: there is a shelf.
void shelf_panel(Ui& ui, Screen& screen);
/// Who she is, and what is to be said of her before any shoe is.
void visit_words(Ui& ui, const Screen& screen);
/// Asks for the 5 to 95 % bands; how far they are, with a way to stop them; or why there are none.
void doubts_controls(Ui& ui, Screen& screen);
/// Under a finding, where it has one: its band, and that of the same finding of the second seat (null: none).
void band_line(Ui& ui, const Screen& screen, const report::Row& row, const report::Row* second);
/// Where the bands of what matters most come from, and what to know of all of them.
void how_sure_lines(Ui& ui, const findings::Findings& findings);
/// A row for each number, a column for each toe, with their bands. `id` begins what is noted.
void toe_table(Ui& ui, const findings::Findings& findings, const std::string& id);
/// A row for each region of the skin that carries load.
void region_table(Ui& ui, const findings::Findings& findings, const std::string& id);
/// What the rules say of it; what would help, with a try of each.
void verdicts(Ui& ui, const Screen& screen);
void what_helps(Ui& ui, Screen& screen);
/// The change that stands in the second view, to be kept or left.
void trying(Ui& ui, Screen& screen);
void positions_panel(Ui& ui, Screen& screen);
void status_panel(Ui& ui, Screen& screen);
void look_bar(Ui& ui, Screen& screen);
void file_window(Ui& ui, Screen& screen);
void help_window(Ui& ui, Screen& screen);
void message_cards(Ui& ui, Screen& screen, const ViewRect& rect);
void picked_card(Ui& ui, Screen& screen, const ViewRect& rect);
void slice_panel(Ui& ui, Screen& screen);
void client_words(Ui& ui, Screen& screen, const ViewRect& rect);
/// Plays or stops; at the end of a way it begins anew.
void toggle_playing(Screen& screen);

}  // namespace aplomb::viewer
