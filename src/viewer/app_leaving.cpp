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

void App::recover() {
  screen_.recovery = false;
  const auto file = state_.left_behind();
  if (!file) return;
  auto recovered = state_.recover(*file);
  if (!recovered) return say(recovered.error());
  bring_back(std::move(recovered->document));
  screen_.session_file = recovered->file;
  session_hash_ = recovered->hash;
  saved_ = {};
  say("The last session is back as it was kept. Save it.");
}

void App::ask_to_close() {
  if (!closing_) leave({});
}

void App::break_off() {
  if (closing_) return;
  const bool keeps = options_.keeps_state && is_unsaved();
  if (keeps) (void)state_.keep(kept_session());  // where it cannot be written that was told before
  closing_ = true;
  solver_.cancel();
  if (doubt_job_) doubt_job_->cancel();
  if (options_.keeps_state && !keeps) state_.forget_own();
}

void App::close() {
  closing_ = true;
  solver_.cancel();
  if (doubt_job_) doubt_job_->cancel();
  if (options_.keeps_state) state_.forget_own();
}

}  // namespace aplomb::viewer
