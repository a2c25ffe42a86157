// An autosave has a name of its own and a lock beside it: one that nobody holds was left behind by a crash.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "state_folder.h"

#include <fmt/format.h>

#include <cstdlib>
#include <random>

#include "aplomb/io/files.h"
#include "session.h"

namespace aplomb::viewer {

namespace fs = std::filesystem;

namespace {

constexpr const char* prefix = "autosave-";

fs::path state_home() {
  if (const char* named = std::getenv("XDG_STATE_HOME"); named != nullptr && *named == '/') return named;
  const char* home = std::getenv("HOME");
  return fs::path(home != nullptr ? home : "/tmp") / ".local" / "state";
}

fs::path fresh_name(const fs::path& folder) {
  std::random_device chance;
  return folder / fmt::format("{}{:08x}{:08x}.json", prefix, chance(), chance());
}

bool is_autosave(const fs::path& file) {
  return file.extension() == ".json" && file.filename().string().starts_with(prefix);
}

/// The session is written anew each time, as another file of that name: the lock needs one that stays.
fs::path lock_of(fs::path autosave) { return autosave.replace_extension(".lock"); }

void erase_file(const fs::path& file) {
  std::error_code code;
  fs::remove(file, code);
}

}  // namespace

StateFolder::StateFolder() : folder_(state_home() / "aplomb") {
  std::error_code code;
  fs::create_directories(folder_, code);
  own_ = fresh_name(folder_);
}

StateFolder::~StateFolder() {
  std::error_code code;
  if (own_lock_ && !fs::exists(own_, code)) erase_file(lock_of(own_));
}

io::Result<void> StateFolder::keep(const KeptSession& session) {
  if (!own_lock_) own_lock_ = FileLock::take(lock_of(own_));  // a folder that takes no lock takes no session either
  io::Json json = session_json(session.document);
  json["session_file"] = session.file;
  json["session_hash"] = session.hash;
  if (auto written = io::write_file(own_, io::to_text(json)); !written) return written;
  if (recovered_) forget(*recovered_);
  return {};
}

void StateFolder::forget_own() {
  erase_file(own_);
  if (recovered_) forget(*recovered_);
}

void StateFolder::forget(const fs::path& file) {
  erase_file(file);
  erase_file(lock_of(file));
  if (file == found_) found_.reset(), found_lock_.reset();
  if (file == recovered_) recovered_.reset();
}

std::optional<fs::path> StateFolder::left_behind() {
  if (found_) return found_;
  std::error_code code;
  fs::file_time_type newest{};
  for (fs::directory_iterator it(folder_, code), end; !code && it != end; it.increment(code)) {
    if (!is_autosave(it->path()) || it->path() == own_) continue;
    std::error_code ignored;
    const auto time = it->last_write_time(ignored);
    if (found_ && time < newest) continue;
    auto lock = FileLock::take(lock_of(it->path()));
    if (!lock) continue;  // still running, or offered by another
    found_ = it->path(), found_lock_ = std::move(lock), newest = time;
  }
  return found_;
}

io::Result<KeptSession> StateFolder::recover(const fs::path& file) {
  const auto text = io::read_file(file, {}, io::max_json_bytes);
  if (!text) return tl::unexpected(text.error());
  auto document = parse_session(*text, file.string());
  if (!document) return tl::unexpected(document.error());
  recovered_ = file;
  const io::Json json = io::Json::parse(*text, nullptr, false);
  const auto word = [&](const char* key) {
    return json.contains(key) && json[key].is_string() ? json[key].get<std::string>() : std::string();
  };
  return KeptSession{std::move(*document), word("session_file"), word("session_hash")};
}

}  // namespace aplomb::viewer
