// What is not saved is kept now and then, and brought back after a crash.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"

namespace aplomb::viewer {

namespace {

constexpr auto autosave_every = std::chrono::milliseconds(1500);

}  // namespace

void App::autosave() {
  const Document& now = screen_.document;
  screen_.unsaved = is_unsaved();
  const auto clock = std::chrono::steady_clock::now();
  if (!options_.keeps_state || closing_ || screen_.dragging || now == kept_ || clock - kept_at_ < autosave_every)
    return;
  kept_at_ = clock;
  if (!screen_.unsaved) {
    state_.forget_own();
    kept_ = now;
    return;
  }
  if (const auto done = state_.keep(kept_session()); done) {
    kept_ = now;
    told_read_only_ = false;
  } else if (!told_read_only_) {
    told_read_only_ = true;
    io::Error error = done.error();
    error.remedy = "what is not saved is lost in a crash; set XDG_STATE_HOME to a folder that can be written";
    say(error);
  }
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

}  // namespace aplomb::viewer
