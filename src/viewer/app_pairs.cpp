// Pairs off the shelf, put on the feet in the view.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"

namespace aplomb::viewer {

namespace {

constexpr std::size_t most_pairs = 64;  // as far back as undo is asked for

}  // namespace

void App::put_on(int item) {
  Subject subject = screen_.document.subject;
  if (!subject.trying.empty()) subject.side_by_side = false;  // a try is of the shoe that was on
  auto pair = pair_for(screen_.shelf->answer, item, subject);
  if (!pair) return say(pair.error());
  for (std::size_t seat = 0; seat < 2; ++seat) subject.seat[seat].shoe = pair->kept.shoe[seat];
  if (!subject.side_by_side) {
    subject.seat[1] = subject.seat[0];
    screen_.active_seat = 0;
  }
  subject.trying.clear();
  screen_.document.subject = std::move(subject);
  keep_pair(std::move(*pair));
  screen_.tab = 0;
}

void App::keep_pair(PairOn pair) {
  pairs_.push_back(std::move(pair));
  if (pairs_.size() > most_pairs) pairs_.erase(pairs_.begin());
}

}  // namespace aplomb::viewer
