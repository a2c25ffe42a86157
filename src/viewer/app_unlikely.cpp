// A number that few feet have: asked whether it is meant, and taken where it is.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "app.h"

namespace aplomb::viewer {

/// What is wrong is said in the view's place; a card beside it only where there is something to decide.
void App::ask_unlikely() {
  if (screen_.dragging) return;  // every number on the way would be asked about
  const Subject& subject = screen_.document.subject;
  for (int seat = 0; seat < 2; ++seat) {
    const auto place = static_cast<std::size_t>(seat);
    const SeatView& view = screen_.seats[place];
    // One foot in two shoes is asked about once.
    const bool there = seat == 0 || (subject.side_by_side && subject.seat[0].foot != subject.seat[1].foot);
    if (there && !view.current) continue;
    const bool asks = there && view.solved->error && view.solved->error->kind == io::ErrorKind::decision_needed;
    const std::string key = asks ? view.solved->key : "";
    if (key == asked_of_[place]) continue;
    asked_of_[place] = key;
    std::erase_if(screen_.messages, [&](const Message& m) { return m.accept && m.accept->seat == seat; });
    if (!asks) continue;
    const io::Error& error = *view.solved->error;
    say(fmt::format("{}{}: {}", seat == 1 ? "Second view: " : "", error.field, error.message), true);
    screen_.messages.back().accept = Unlikely{error.field, seat};
  }
}

/// The same foot in both views is meant in both.
void App::accept(const Unlikely& number) {
  Subject& subject = screen_.document.subject;
  const Source foot = subject.seat[static_cast<std::size_t>(number.seat)].foot;
  for (Choice& choice : subject.seat)
    if (choice.foot == foot) choice.foot.accepted.push_back(number.key);
  std::erase_if(screen_.messages, [&](const Message& message) { return message.accept == number; });
}

}  // namespace aplomb::viewer
