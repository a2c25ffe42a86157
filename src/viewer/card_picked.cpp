// What was picked on the skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "card.h"
#include "lengths.h"
#include "panels.h"

namespace aplomb::viewer {

void picked_card(Ui& ui, Screen& screen, const ViewRect& rect) {
  if (!screen.picked) return;
  const Pick& pick = screen.picked->what;
  const bool inches = screen.document.look.inches;
  begin_card("picked", {rect.x + ui.theme.px(16), rect.y + rect.h - ui.theme.px(56)}, {0, 1}, false);
  ui.words("picked.region", pick.region, ui.theme.strong);
  // The number beside the words, for tests.
  const auto number = [&](const char* id, const std::string& words, double value, const char* unit) {
    ui.words("", words, ui.theme.body);
    ui.note_last({.id = id, .kind = "text", .text = words, .value = value, .unit = unit});
  };
  number("picked.pressure", fmt::format("pressure {:.0f} kPa", pick.pressure_kPa), pick.pressure_kPa, "kPa");
  const std::string gap = pick.gap_mm >= findings::beyond_gap_mm - 0.05 ? "no box near"
                          : pick.gap_mm < 0 ? "pressed in by " + length_words(-pick.gap_mm, inches) + " at the box"
                                            : length_words(pick.gap_mm, inches) + " clear of the box";
  number("picked.gap", gap, pick.gap_mm, "mm");
  if (pick.crowding_mm > 0.05)
    number("picked.crowding", "pressed " + length_words(pick.crowding_mm, inches) + " by the next toe",
           pick.crowding_mm, "mm");
  ui.words("picked.bone", "over: " + pick.bone, ui.theme.body);
  end_card();
}

}  // namespace aplomb::viewer
