// The end of the program, and sessions that take the place of this one: nothing that is not saved is dropped unasked.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"
#include "opening.h"

namespace aplomb::viewer {

void App::leave(Leaving leaving) {
  if (!is_unsaved()) return go(leaving);
  screen_.files.reset();
  screen_.leaving = std::move(leaving);
}

void App::go(const Leaving& leaving) {
  switch (leaving.way) {
    case Leaving::Way::quit:
      return close();
    case Leaving::Way::recovery:
      return recover();
    case Leaving::Way::session:
      auto opened = open_file(leaving.session);
      if (!opened) return say(opened.error());
      put(std::move(*opened), leaving.session, seat_for_files());
  }
}

void App::do_leaving(const Asked& asked) {
  if (!screen_.leaving) return;
  if (asked.stay) return screen_.leaving.reset();
  if (asked.save_and_leave) {
    screen_.leaving->saving = true;
    if (screen_.session_file.empty())
      choose_name();
    else
      save(screen_.session_file);
  }
  // What could not be saved, or not under that name, is said; until then she stays.
  const bool saved = screen_.leaving->saving && !screen_.files && !is_unsaved();
  if (screen_.leaving->saving && !screen_.files && !saved) return screen_.leaving.reset();
  if (!saved && !asked.leave_unsaved) return;
  const Leaving leaving = *std::exchange(screen_.leaving, std::nullopt);
  go(leaving);
}

void App::ask_to_close() {
  if (!closing_) leave({});
}

void App::break_off() {
  if (closing_) return;
  if (!options_.keeps_state || !is_unsaved()) return close();
  (void)state_.keep(kept_session());  // where it cannot be written that was told before
  stop_work();
}

void App::close() {
  stop_work();
  if (options_.keeps_state) state_.forget_own();
}

void App::stop_work() {
  closing_ = true;
  solver_.cancel();
  if (doubt_job_) doubt_job_->cancel();
}

}  // namespace aplomb::viewer
