// Saving the session under a name, and whether there is anything to be saved.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "aplomb/io/files.h"
#include "app.h"
#include "session.h"

namespace aplomb::viewer {

namespace fs = std::filesystem;

Document App::without_eye(Document document) {
  document.look.orbit = {};
  document.look.step.reset();
  document.subject.position = {};
  if (document.shelf) document.shelf->shown = false;
  return document;
}

bool App::is_unsaved() const { return without_eye(screen_.document) != saved_; }

void App::save(const fs::path& file) {
  // Somebody else may have written it since it was read here.
  const std::string there = io::read_file(file, {}, io::max_json_bytes).map(io::content_hash).value_or("");
  const bool own = file.string() == screen_.session_file;
  if (own && !there.empty() && there != session_hash_) {
    session_hash_ = there;
    return say(fmt::format("{} was changed by another window since it was opened here. Save again to write over it, or "
                           "save under another name.",
                           file.string()),
               true);
  }
  if (const auto written = write_session(screen_.document, file); !written) return say(written.error());
  screen_.session_file = file.string();
  session_hash_ = io::read_file(file, {}, io::max_json_bytes).map(io::content_hash).value_or("");
  saved_ = without_eye(screen_.document);
  if (options_.keeps_state) state_.add_recent(file), screen_.recent = state_.recent();
  say(fmt::format("Saved: {}", file.string()));
}

void App::save_as(const fs::path& named) {
  const fs::path file = whole_path(named);
  std::error_code code;
  if (file.string() != screen_.session_file && fs::exists(file, code)) {
    FilePanel& panel = *screen_.files;
    const bool session = read_session(file).has_value();
    if (!session || panel.told_of != file) {
      panel.told_of = file;
      panel.told = file.filename().string() + (session ? " is there already. Save again to write over it."
                                                       : " is there already and is no session: choose another name.");
      return;
    }
  }
  save(file);
  screen_.files.reset();
}

void App::choose_name() {
  screen_.files = FilePanel::make(FilePanel::Purpose::save, folder());
  if (!screen_.session_file.empty()) screen_.files->name = fs::path(screen_.session_file).filename().string();
}

fs::path App::folder() const {
  if (!screen_.session_file.empty()) return fs::path(screen_.session_file).parent_path();
  std::error_code code;
  const fs::path here = fs::current_path(code);
  return code ? fs::path("/") : here;  // the folder that it was started in is gone
}

}  // namespace aplomb::viewer
