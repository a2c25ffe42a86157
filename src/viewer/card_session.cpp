// Sessions that are not saved: asked about before they are dropped, offered where one was left behind.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "card.h"

namespace aplomb::viewer {

/// What is not saved would be dropped.
void leaving_card(Ui& ui, Screen& screen, const ViewRect& rect, float width) {
  const Leaving& leaving = *screen.leaving;
  const bool quits = leaving.way == Leaving::Way::quit;
  const std::string in_its_place =
      leaving.way == Leaving::Way::session ? leaving.session.filename().string() : std::string("The last session");
  begin_card("leaving", {rect.x + 0.5f * rect.w, rect.y + from_top(ui, rect)}, {0.5f, 0}, false);
  ui.words("leaving.words",
           quits ? "This session is not saved." : "This session is not saved. " + in_its_place + " takes its place.",
           ui.theme.strong, ink::text, width);
  if (ui.button("leaving.save", "Save", "Saves it first.", {.strong = true})) screen.asked.save_and_leave = true;
  if (width > ui.theme.px(300)) ImGui::SameLine();
  if (ui.button("leaving.unsaved", quits ? "Quit without saving" : "Go on without saving", "What was changed is lost."))
    screen.asked.leave_unsaved = true;
  if (width > ui.theme.px(300)) ImGui::SameLine();
  if (ui.button("leaving.stay", "Stay", "Back to where you were. Esc")) screen.asked.stay = true;
  end_card();
}

void recovery_card(Ui& ui, Screen& screen, const ViewRect& rect, float width) {
  begin_card("recovery", {rect.x + 0.5f * rect.w, rect.y + from_top(ui, rect)}, {0.5f, 0}, false);
  ui.words("recovery.words", "The last session was not closed. Bring it back?", ui.theme.strong, ink::text, width);
  if (ui.button("recover", "Bring it back", "Shows it as it was when last kept.", {.strong = true}))
    screen.asked.recover = true;
  ImGui::SameLine();
  if (ui.button("forget", "Leave it", "Forgets it.")) screen.asked.forget_recovery = true;
  end_card();
}

}  // namespace aplomb::viewer
