// What is to be solved, and in what order: what is shown first, what may be asked for next last.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "app.h"

namespace aplomb::viewer {

/// What hands ask to be solved, whatever of it is solved: cancelled, it stays so until they ask for something else.
std::string App::wish() const {
  const Document& document = screen_.document;
  std::string wish = fmt::format("{} {} {} {}", stance::name(document.subject.position), document.look.band,
                                 document.look.advice, document.look.skin == SkinLook::difference);
  for (int i = 0; i < document.subject.seats(); ++i) wish += " " + keys_[static_cast<std::size_t>(i)];
  return wish;
}

void App::want() {
  const Subject& subject = screen_.document.subject;
  std::vector<Request> list;
  std::vector<std::string> keys;
  const auto add = [&](std::size_t seat, stance::Position position, Care care, bool band) {
    if (known(keys_[seat], position, care, band)) return;
    list.push_back({subject.seat[seat], position, care, band});
    keys.push_back(request_key(keys_[seat], position, care, band));
  };
  const int seats = subject.seats();
  const bool ahead = options_.solves_ahead && !shelf_;  // a shelf takes both cores
  if (screen_.dragging || cancelled_ != wish()) cancelled_.reset();
  screen_.cancelled = cancelled_.has_value();
  if (screen_.dragging) {
    const auto active = static_cast<std::size_t>(std::min(screen_.active_seat, seats - 1));
    if (!known(keys_[active], subject.position, Care::full, false)) add(active, subject.position, Care::quick, false);
  } else if (!cancelled_) {
    for (int i = 0; i < seats; ++i) add(static_cast<std::size_t>(i), subject.position, Care::full, false);
    if (before_ && screen_.document.look.skin == SkinLook::difference &&
        !known(before_key_, subject.position, Care::full, false)) {
      list.push_back({*before_, subject.position});
      keys.push_back(request_key(before_key_, subject.position, Care::full, false));
    }
    if (screen_.document.look.band)
      for (int i = 0; i < seats; ++i) add(static_cast<std::size_t>(i), subject.position, Care::full, true);
    const auto& now = screen_.seats[0].solved;
    const bool makes_sense = now && screen_.seats[0].current && !now->error;
    // What rules speak of first, on both seats; then what helps; then the rest of the strip.
    const bool judges = library_.rules != nullptr && makes_sense && (ahead || screen_.document.look.advice);
    if (judges)
      for (int i = 0; i < seats; ++i)
        for (const std::string& name : library_.rules->positions())
          add(static_cast<std::size_t>(i), *stance::position_named(name), Care::full, false);
    if (screen_.document.look.advice && judges && !known(advice_key(keys_[0]))) {
      list.push_back({.choice = subject.seat[0], .advice = true});
      keys.push_back(advice_key(keys_[0]));
    }
    if (ahead && makes_sense)
      for (const std::string& name : stance::position_names()) add(0, *stance::position_named(name), Care::full, false);
  }
  if (keys == wanted_keys_) return;
  wanted_keys_ = std::move(keys);
  solver_.want(std::move(list));
}

}  // namespace aplomb::viewer
