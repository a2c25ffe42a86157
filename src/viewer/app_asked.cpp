// What the panels asked for in a frame, done after it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "app.h"

namespace aplomb::viewer {

void App::do_asked() {
  Asked asked = std::exchange(screen_.asked, {});
  screen_.asked.frame_all = asked.frame_all;  // until there is something to frame
  if (asked.open) screen_.files = FilePanel::make(FilePanel::Purpose::open, folder());
  if (asked.save && !screen_.session_file.empty())
    save(screen_.session_file);
  else if (asked.save || asked.save_as)
    choose_name();
  if (asked.open_file && drop(*asked.open_file)) screen_.files.reset();
  if (asked.save_to && screen_.files) save_as(*asked.save_to);
  if (options_.keeps_state && screen_.letter_paper != kept_letter_paper_)
    state_.keep_letter_paper(kept_letter_paper_ = screen_.letter_paper);
  if (asked.export_all) start_exporting();
  if (asked.scan) {
    // Its question is answered; what was said since stays.
    const auto asking = std::find_if(screen_.messages.rbegin(), screen_.messages.rend(),
                                     [](const Message& message) { return message.question.has_value(); });
    if (asking != screen_.messages.rend()) screen_.messages.erase(std::next(asking).base());
    start_scan(std::move(*asked.scan));
  }
  if (asked.cancel_scan && scan_) scan_->cancel();
  if (asked.undo && history_.can_undo()) screen_.document.subject = history_.undo();
  if (asked.redo && history_.can_redo()) screen_.document.subject = history_.redo();
  if (asked.accept) accept(*asked.accept);
  do_tries(asked);
  do_shelf(asked);
  if (asked.cancel && screen_.work.busy) {
    solver_.cancel();
    cancelled_ = wish();
  }
  if (asked.recover) leave({Leaving::Way::recovery});
  if (asked.forget_recovery) {
    screen_.recovery = false;
    if (const auto file = state_.left_behind()) state_.forget(*file);
  }
  if (asked.restart_theme) theme_stale_ = true;
  if (asked.quit) ask_to_close();
  do_leaving(asked);
}

}  // namespace aplomb::viewer
