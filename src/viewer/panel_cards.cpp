// Cards over the view, those that ask first; and the newest message.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "card.h"
#include "panels.h"

namespace aplomb::viewer {

namespace {

/// Cards stand over the view; where panels leave nothing of it, over all of the window: what is asked must be seen.
ViewRect room_for_cards(const Ui& ui, const ViewRect& view) {
  if (view.w >= ui.theme.px(240) && view.h >= ui.theme.px(200)) return view;
  const ImVec2 size = ImGui::GetIO().DisplaySize;
  return {0, 0, size.x, size.y};
}

}  // namespace

void message_cards(Ui& ui, Screen& screen, const ViewRect& view) {
  const ViewRect rect = room_for_cards(ui, view);
  const float width = std::min(ui.theme.px(420), rect.w - 4 * ui.theme.unit);
  if (screen.scan) scan_card(ui, screen, rect, width);
  if (screen.leaving) {
    if (!screen.leaving->saving) leaving_card(ui, screen, rect, width);
  } else if (screen.recovery) {
    recovery_card(ui, screen, rect, width);
  }
  if (screen.messages.empty()) return;
  const Message message = screen.messages.back();
  begin_card("message", {rect.x + 0.5f * rect.w, rect.y + rect.h - ui.theme.px(24)}, {0.5f, 1}, message.problem);
  ui.words("message", message.text, ui.theme.body, message.problem ? ink::alarm : ink::text, width);
  if (message.accept) {
    if (ui.button("accept", "It is meant so", "Takes the number as it is, though few feet have it.", {.strong = true}))
      screen.asked.accept = *message.accept;
    ImGui::SameLine();
  }
  if (message.question) scan_question(ui, screen, *message.question);
  if (ui.button("message.close", "Close", "Esc") && !screen.messages.empty()) screen.messages.pop_back();
  end_card();
}

}  // namespace aplomb::viewer
