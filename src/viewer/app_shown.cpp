// What the seats show: the best answer there is to the numbers as they stand, and what it is compared with.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"

namespace aplomb::viewer {

std::shared_ptr<const Solved> App::known(const std::string& key) const { return answers_.find(key); }

std::shared_ptr<const Solved> App::known(const std::string& choice, stance::Position position, Care care,
                                         bool band) const {
  return known(request_key(choice, position, care, band));
}

void App::take_answers() {
  for (auto& answer : solver_.take()) {
    answers_.add(std::move(answer));
    wanted_keys_.clear();  // what is wanted now may have changed
  }
  std::set<std::string> held(keys_.begin(), keys_.end());
  held.insert(before_key_);
  answers_.trim(held);
  screen_.work = solver_.work();
}

void App::choose_shown() {
  const Subject& subject = screen_.document.subject;
  const bool band = screen_.document.look.band;
  for (int i = 0; i < 2; ++i) {
    const auto seat = static_cast<std::size_t>(i);
    SeatView& view = screen_.seats[seat];
    if (keyed_[seat] != subject.seat[seat] || keys_[seat].empty()) {
      keyed_[seat] = subject.seat[seat];
      keys_[seat] = choice_key(keyed_[seat]);
      const Source& shoe = keyed_[seat].shoe;
      if (screen_.shoe_files[seat].text != shoe.text) screen_.shoe_files[seat] = read_shoe_file(shoe);
    }
    const std::string& choice = keys_[seat];
    auto best = known(choice, subject.position, Care::full, band);
    if (!best) best = known(choice, subject.position, Care::full, false);
    if (!best) best = known(choice, subject.position, Care::quick, false);
    view.current = best != nullptr;
    if (best) last_shown_[seat] = best;
    const bool usable = last_shown_[seat] && last_shown_[seat]->position == subject.position;
    view.solved = best ? best : usable ? last_shown_[seat] : nullptr;
    for (const std::string& name : stance::position_names()) {
      const stance::Position position = *stance::position_named(name);
      const auto answer = known(choice, position, Care::full, false);
      Known& state = view.known[static_cast<std::size_t>(position)];
      if (answer)
        state = answer->error ? Known::refused : answer->shown() ? Known::solved : Known::not_converged;
      else
        state = screen_.work.key == request_key(choice, position, Care::full, false) ? Known::solving : Known::not_yet;
    }
  }
  show_doubts();
  choose_reference();
  follow_picked();
  ask_unlikely();
}

/// The other view; or what stood here before the last change, whatever the position was then.
void App::choose_reference() {
  const Subject& subject = screen_.document.subject;
  if (auto before = subject.side_by_side ? std::nullopt : history_.before(subject.seat[0]); before != before_) {
    before_ = std::move(before);
    before_key_ = before_ ? choice_key(*before_) : "";
  }
  SeatView &first = screen_.seats[0], &second = screen_.seats[1];
  if (subject.side_by_side)
    first.reference = second.solved;
  else
    first.reference = before_ ? known(before_key_, subject.position, Care::full, false) : nullptr;
  second.reference = first.solved;
  first.comes = !first.reference && before_ && !cancelled_;
  second.comes = false;
}

/// What was picked is read again from each new frame.
void App::follow_picked() {
  if (!screen_.picked) return;
  const auto seat = static_cast<std::size_t>(screen_.picked->seat);
  const bool there = screen_.picked->seat < screen_.document.subject.seats();
  const auto frame = there ? screen_.seats[seat].frame(screen_.document.look.step) : nullptr;
  if (frame != screen_.picked->frame)
    screen_.picked = picked_again(*screen_.picked, frame, screen_.document.subject.position);
}

}  // namespace aplomb::viewer
