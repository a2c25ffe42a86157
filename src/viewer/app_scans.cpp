// Scans that were opened: one after the other, questions asked on the screen.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "app.h"

namespace aplomb::viewer {

void App::start_scan(ScanWish wish) {
  if (scan_)
    scans_waiting_.push_back(std::move(wish));
  else
    scan_ = std::make_unique<ScanJob>(library_, std::move(wish), wake_);
}

void App::take_scan() {
  screen_.scan.reset();
  if (!scan_) return;
  if (!scan_->ended()) {
    const JobProgress so_far = scan_->so_far();
    screen_.scan = ScanShown{scan_->wish().file.filename().string(), so_far.fraction, so_far.what};
    return;
  }
  const ScanWish wish = scan_->wish();
  const bool left = scan_->cancelled();  // maybe just when it was done
  auto made = scan_->take();
  scan_.reset();
  if (!left && made) {
    // The second view may have been put away meanwhile: it comes back with its foot, which nobody took back.
    if (Subject& subject = screen_.document.subject; wish.seat == 1 && !subject.side_by_side) {
      subject.seat[1] = subject.seat[0];
      subject.side_by_side = true;
    }
    say(made->told);
    put(OpenedFoot{std::move(made->source)}, wish.file, wish.seat);
  } else if (!left && made.error().kind == io::ErrorKind::decision_needed) {
    screen_.messages.push_back({fmt::format("{}: {}", wish.file.filename().string(), made.error().message), false, {}});
    screen_.messages.back().question = ScanQuestion{wish, made.error().field == "--side"};
  } else if (!left && made.error().kind != io::ErrorKind::cancelled) {
    say(made.error());
  }
  if (scans_waiting_.empty()) return;
  ScanWish next = std::move(scans_waiting_.front());
  scans_waiting_.erase(scans_waiting_.begin());
  start_scan(std::move(next));
}

void App::leave_scans() {
  scans_waiting_.clear();
  if (scan_) scan_->cancel();
  std::erase_if(screen_.messages, [](const Message& message) { return message.question.has_value(); });
}

}  // namespace aplomb::viewer
