// What the program says: the newest few.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"

namespace aplomb::viewer {

namespace {

constexpr std::size_t most_messages = 5;

}  // namespace

void App::say(std::string text, bool problem) {
  screen_.messages.push_back({std::move(text), problem, {}, {}});
  if (screen_.messages.size() > most_messages) screen_.messages.erase(screen_.messages.begin());
}

void App::say(const io::Error& error) { say(io::to_line(error), true); }

}  // namespace aplomb::viewer
