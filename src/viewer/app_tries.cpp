// Changes tried beside the shoe as it is.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "advice.h"
#include "app.h"

namespace aplomb::viewer {

void App::do_tries(const Asked& asked) {
  Subject& subject = screen_.document.subject;
  if (!subject.side_by_side) subject.trying.clear();
  if (asked.attempt && screen_.advice && screen_.advice->foot) {
    const auto shoe = with_try(subject.seat[0].shoe, *asked.attempt, screen_.advice->foot->side);
    if (!shoe) return say(shoe.error());
    subject.seat[1] = subject.seat[0];
    subject.seat[1].shoe = *shoe;
    subject.side_by_side = true;
    screen_.active_seat = 1;
    screen_.tab = 0;
    subject.trying = shop::words(*asked.attempt);
  }
  if (!asked.keep_try && !asked.leave_try) return;
  if (asked.keep_try) subject.seat[0] = subject.seat[1];
  subject.seat[1] = subject.seat[0];
  subject.side_by_side = false;
  screen_.active_seat = 0;
  subject.trying.clear();
}

}  // namespace aplomb::viewer
