// The page for the client: one big picture, three sentences, no trade words.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "client_words.h"
#include "screen.h"

namespace aplomb::viewer {

void client_words(Ui& ui, Screen& screen, const ViewRect& rect) {
  const Solved* solved = screen.shown(0);
  ImGui::SetCursorScreenPos({rect.x + 3 * ui.theme.unit, rect.y + ui.theme.unit});
  ImGui::BeginGroup();
  if (solved == nullptr || !solved->shown() || !screen.seats[0].current) {
    ui.words("client.none", "One moment: the foot is still finding its place.", ui.theme.title, ink::quiet);
  } else {
    int number = 0;
    for (const std::string& sentence : client_sentences(solved->findings))
      ui.words(fmt::format("client.{}", ++number), sentence, ui.theme.title, ink::text, rect.w - 6 * ui.theme.unit);
  }
  if (ui.button("client.close", "Back to the numbers", "C")) screen.document.look.client = false;
  ui.flow("A page to take home");
  if (ui.button("client.page", "A page to take home", "This picture and these words as a PDF. Ctrl+E",
                {.enabled = solved != nullptr && solved->shown()}))
    screen.asked.export_all = true;
  ImGui::EndGroup();
}

}  // namespace aplomb::viewer
