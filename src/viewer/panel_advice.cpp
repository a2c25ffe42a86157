// What helps: offered only where it was solved and helps. A try stands beside what it changes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "aplomb/shop/tell.h"
#include "panels.h"
#include "words.h"

namespace aplomb::viewer {

namespace {

/// Goes in, and balances in every position that was solved.
bool fits(const shop::Advice& advice) { return shop::failures(advice.answers).empty(); }

void offers(Ui& ui, Screen& screen, const shop::Advice& advice) {
  if (advice.offers.empty())
    ui.words("offers.none",
             !fits(advice)           ? "The foot does not go in, or finds no balance: there is no rule to mend that."
             : advice.raised.empty() ? "Nothing is at fault, so nothing was tried."
                                     : "None of the changes that were solved helps.",
             ui.theme.body);
  int number = 0;
  for (const shop::Offer& offer : advice.offers) {
    const std::string id = fmt::format("offer.{}", ++number);
    if (ui.button(id + ".try", "Try it", "Puts the shoe so changed beside the shoe as it is."))
      screen.asked.attempt = offer.attempt;
    ImGui::SameLine();
    ImGui::BeginGroup();
    ui.words(id, capital(shop::words(offer.attempt)), ui.theme.strong, ink::text, ImGui::GetContentRegionAvail().x);
    ui.explain(fmt::format("Because {}. Solved again in every position of the rules: points {:.1f} become {:.1f}.",
                           offer.cause, offer.cost_before, offer.cost_after));
    ui.words(id + ".does", shop::before_and_after(offer), ui.theme.small, ink::quiet, ImGui::GetContentRegionAvail().x);
    ImGui::EndGroup();
  }
  if (advice.declined.empty()) return;
  std::string words = "Solved too, and not offered:";
  for (const shop::Declined& one : advice.declined)
    words += fmt::format("\n{}: {}", shop::words(one.attempt), one.reason);
  ui.words("declined", fmt::format("{} more solved, not offered", advice.declined.size()), ui.theme.small, ink::quiet);
  ui.explain(words);
}

}  // namespace

void what_helps(Ui& ui, Screen& screen) {
  if (!screen.rules) return;
  if (!screen.document.subject.trying.empty()) return;  // one at a time
  Look& look = screen.document.look;
  ImGui::Dummy({0, 0.25f * ui.theme.unit});
  ui.toggle("advice", "What helps",
            "Makes the changes that the rules name, one by one, and solves each: only what helps is offered. Takes up "
            "to a minute. A",
            look.advice);
  if (!look.advice) return;
  if (screen.advice && screen.advice->error)
    ui.words("advice.error", io::to_line(*screen.advice->error), ui.theme.body, ink::alarm);
  else if (screen.advice && screen.advice->advice)
    offers(ui, screen, *screen.advice->advice);
  else
    ui.words("advice.waiting", "Changes are made and solved, one by one.", ui.theme.small, ink::quiet);
}

void trying(Ui& ui, Screen& screen) {
  if (screen.document.subject.trying.empty() || !screen.document.subject.side_by_side) return;
  ui.words("trying", "Second view: " + screen.document.subject.trying, ui.theme.strong, ink::mark,
           ImGui::GetContentRegionAvail().x);
  if (ui.button("try.keep", "Keep it", "Makes the change; the shoe as it was is forgotten. Ctrl+Z brings it back.",
                {.strong = true}))
    screen.asked.keep_try = true;
  ui.flow("Leave it");
  if (ui.button("try.leave", "Leave it", "Back to the shoe as it is.")) screen.asked.leave_try = true;
  Look& look = screen.document.look;
  bool map = look.skin == SkinLook::difference;
  ui.flow("Difference as a map");
  if (ui.toggle("try.map", "Difference as a map", "Colours say what each view has more or less than the other. P", map))
    look.skin = map ? SkinLook::difference : SkinLook::pressure;
}

}  // namespace aplomb::viewer
