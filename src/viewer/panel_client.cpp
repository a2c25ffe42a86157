// The page for the client: one big picture, three sentences, no trade words.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "client_words.h"
#include "panels.h"

namespace aplomb::viewer {

namespace {

/// In the place of the three sentences. `solved` is null until it is.
const char* nothing_to_show(bool cancelled, const Solved* solved) {
  if (solved == nullptr)
    return cancelled ? "The foot was not let find its place." : "One moment: the foot is still finding its place.";
  return solved->error
             ? "This foot and this shoe do not go together as they are written down: a number is put right first."
             : "The foot found no place to rest in this shoe, so there is nothing to show of it.";
}

}  // namespace

void client_words(Ui& ui, Screen& screen, const ViewRect& rect) {
  const int seat = screen.chosen_seat();
  const Solved* solved = screen.shown(seat);
  ImGui::SetCursorScreenPos({rect.x + 3 * ui.theme.unit, rect.y + ui.theme.unit});
  ImGui::BeginGroup();
  const bool current = screen.seats[static_cast<std::size_t>(seat)].current;
  if (!current || !solved->shown()) {
    ui.words("client.none", nothing_to_show(screen.cancelled, current ? solved : nullptr), ui.theme.title, ink::quiet,
             rect.w - 6 * ui.theme.unit);
  } else {
    int number = 0;
    for (const std::string& sentence : client_sentences(solved->findings))
      ui.words(fmt::format("client.{}", ++number), sentence, ui.theme.title, ink::text, rect.w - 6 * ui.theme.unit);
  }
  if (ui.button("client.close", "Back to the numbers", "C")) screen.document.look.client = false;
  ui.flow("A page to take home");
  if (ui.button("client.page", "A page to take home", "This picture and these words as a PDF. Ctrl+E",
                {.enabled = current && solved->shown()}))
    screen.asked.export_all = true;
  ImGui::EndGroup();
}

}  // namespace aplomb::viewer
