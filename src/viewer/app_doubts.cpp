// The 5 to 95 % bands of what is shown: found when somebody asks, kept for when undo comes back to it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "app.h"
#include "changes.h"

namespace aplomb::viewer {

namespace {

/// A hundred kilobytes each; as many as there are answers.
constexpr std::size_t doubts_kept = 48;

/// Bands go with an answer to the numbers as they stand, solved with all care, that balances.
bool can_have_doubts(const SeatView& view) {
  return view.current && view.solved->care == Care::full && view.solved->shown();
}

}  // namespace

/// Of the answer without friction cycles: these add to its findings and change none.
std::string App::doubts_key(std::size_t seat) const {
  return request_key(keys_[seat], screen_.document.subject.position, Care::full, false);
}

void App::take_doubts() {
  if (!doubt_job_ || !doubt_job_->ended()) return;
  const Solved& of = *doubt_job_->wish().answer;
  const std::string key = request_key(of.choice, of.position, Care::full, false);
  auto found = std::make_shared<const DoubtAnswer>(doubt_job_->take());
  doubt_job_.reset();
  if (!*found && found->error().kind == io::ErrorKind::cancelled) return;
  if (!doubts_.contains(key)) doubt_order_.push_back(key);
  doubts_[key] = std::move(found);
  if (doubt_order_.size() <= doubts_kept) return;
  doubts_.erase(doubt_order_.front());
  doubt_order_.erase(doubt_order_.begin());
}

void App::show_doubts() {
  for (std::size_t i = 0; i < screen_.seats.size(); ++i) {
    SeatView& view = screen_.seats[i];
    std::shared_ptr<const DoubtAnswer> found;
    if (screen_.document.look.doubts && can_have_doubts(view))
      if (const auto at = doubts_.find(doubts_key(i)); at != doubts_.end()) found = at->second;
    // A copy of hundreds of numbers, made once and not in every frame.
    if (auto made_of = std::pair(view.solved, found); made_of != told_of_[i] || !view.told) {
      told_of_[i] = std::move(made_of);
      view.told =
          view.solved ? std::shared_ptr<const findings::Findings>(view.solved, &view.solved->findings) : nullptr;
      view.no_doubts.reset();
      if (found && *found) {
        auto with = std::make_shared<findings::Findings>(view.solved->findings);
        with->doubts = **found;
        view.told = std::move(with);
      } else if (found) {
        view.no_doubts = found->error();
      }
    }
  }
}

void App::start_doubts(std::size_t seat) {
  const Subject& subject = screen_.document.subject;
  stance::Constants constants = library_.constants;
  if (!apply(subject.seat[seat].constants, constants)) return;  // then nothing is shown either
  Request like;
  like.choice = subject.seat[seat];
  like.position = subject.position;
  DoubtWish wish{screen_.seats[seat].solved, stand_options(like, constants, nullptr), library_.model, library_.ranges};
  wish.runs = options_.doubt_runs;
  wish.threads = solver_.idle() ? 2 : 1;  // what is solved ahead has the other core
  doubt_job_ = std::make_unique<DoubtJob>(std::move(wish), wake_);
}

void App::want_doubts() {
  const bool asked = screen_.document.look.doubts && !closing_;
  std::vector<std::size_t> lacking;
  bool unsolved = false;
  for (int i = 0; asked && i < screen_.document.subject.seats(); ++i) {
    const auto seat = static_cast<std::size_t>(i);
    const SeatView& view = screen_.seats[seat];
    if (can_have_doubts(view) && !doubts_.contains(doubts_key(seat))) lacking.push_back(seat);
    if (!view.current || view.solved->care != Care::full) unsolved = true;
  }
  if (doubt_job_) {
    const Solved& of = *doubt_job_->wish().answer;
    const bool wanted = std::any_of(lacking.begin(), lacking.end(), [&](std::size_t seat) {
      return doubts_key(seat) == request_key(of.choice, of.position, Care::full, false);
    });
    if (!wanted) doubt_job_->cancel();
  }
  const bool moving = screen_.dragging || screen_.playing, shelf = shelf_ || shelf_waiting_;
  if (!doubt_job_ && !lacking.empty() && !moving && !shelf) start_doubts(lacking.front());
  screen_.doubts.reset();
  if (lacking.empty() && !unsolved) return;
  if (doubt_job_ && !doubt_job_->cancelled())
    screen_.doubts = DoubtsShown{true, doubt_job_->so_far().fraction, doubt_job_->so_far().what};
  else
    screen_.doubts = DoubtsShown{false, 0,
                                 moving     ? "begins once nothing moves"
                                 : unsolved ? "begins once the foot has come to rest"
                                 : shelf    ? "waits for the shelf"
                                            : "begins"};
}

}  // namespace aplomb::viewer
