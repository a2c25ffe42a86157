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
  ui.words("picked.pressure", fmt::format("pressure {:.0f} kPa", pick.pressure_kPa), ui.theme.body);
  const std::string gap = pick.gap_mm >= findings::beyond_gap_mm - 0.05 ? "no box near"
                          : pick.gap_mm < 0 ? "pressed in by " + length_words(-pick.gap_mm, inches) + " at the box"
                                            : length_words(pick.gap_mm, inches) + " clear of the box";
  ui.words("picked.gap", gap, ui.theme.body);
  if (pick.crowding_mm > 0.05)
    ui.words("picked.crowding", "pressed " + length_words(pick.crowding_mm, inches) + " by the next toe",
             ui.theme.body);
  ui.words("picked.bone", "over: " + pick.bone, ui.theme.body);
  end_card();
}

}  // namespace aplomb::viewer
