// A session in the place of what was there: from its file, or as it was kept.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "aplomb/io/files.h"
#include "app.h"

namespace aplomb::viewer {

namespace fs = std::filesystem;

void App::put_session(OpenedSession session, const fs::path& file) {
  saved_ = without_eye(session.document);
  bring_back(std::move(session.document));
  screen_.session_file = file.string();
  session_hash_ = io::read_file(file, {}, io::max_json_bytes).map(io::content_hash).value_or("");
  if (const auto& shelf = screen_.document.shelf)
    if (std::error_code code; !fs::is_regular_file(shelf->stock, code))
      say(fmt::format("{} is gone since; open the stock where it is now.", shelf->stock));
  for (const Choice& held : screen_.document.subject.seat)
    for (const Source* source : {&held.foot, &held.shoe}) {
      std::error_code code;
      if (!fs::is_regular_file(source->file, code))
        say(fmt::format("{} is gone since; the session's own copy is shown.", source->file));
    }
  std::vector<Message>& messages = screen_.messages;
  for (auto message = messages.begin(); message != messages.end();) {
    const bool again =
        std::any_of(messages.begin(), message, [&](const Message& m) { return m.text == message->text; });
    message = again ? messages.erase(message) : message + 1;
  }
}

void App::bring_back(Document document) {
  screen_.document = std::move(document);
  history_.clear();
  leave_scans();  // they were for the feet of before
  theme_stale_ = true;
  screen_.active_seat = 0;
  pairs_.clear();
  if (screen_.document.pair)
    if (auto pair = pair_of(*screen_.document.pair)) pairs_.push_back(std::move(*pair));
  bring_back_shelf();
}

}  // namespace aplomb::viewer
