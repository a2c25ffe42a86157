// Autosaves carry the process number in their names: one whose process is gone was left behind by a crash.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "state_folder.h"

#include <fmt/format.h>
#include <signal.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>

#include "aplomb/io/files.h"
#include "session.h"

namespace aplomb::viewer {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t most_recent = 10;
constexpr const char* prefix = "autosave-";

fs::path state_home() {
  if (const char* named = std::getenv("XDG_STATE_HOME"); named != nullptr && *named == '/') return named;
  const char* home = std::getenv("HOME");
  return fs::path(home != nullptr ? home : "/tmp") / ".local" / "state";
}

/// The process of "autosave-123.json"; 0 for other files.
long process_of(const fs::path& file) {
  const std::string name = file.stem().string();
  return name.starts_with(prefix) ? std::strtol(name.c_str() + std::string_view(prefix).size(), nullptr, 10) : 0;
}

}  // namespace

StateFolder::StateFolder() : folder_(state_home() / "aplomb") {
  std::error_code code;
  fs::create_directories(folder_, code);
  own_ = folder_ / fmt::format("{}{}.json", prefix, ::getpid());
}

io::Result<void> StateFolder::keep(const Document& document, const std::string& session_file) {
  io::Json json = session_json(document);
  json["session_file"] = session_file;
  return io::write_file(own_, io::to_text(json));
}

void StateFolder::forget_own() { forget(own_); }

void StateFolder::forget(const fs::path& file) {
  std::error_code code;
  fs::remove(file, code);
}

std::optional<fs::path> StateFolder::left_behind() const {
  std::error_code code;
  std::optional<fs::path> newest;
  fs::file_time_type newest_time{};
  for (fs::directory_iterator it(folder_, code), end; !code && it != end; it.increment(code)) {
    const long process = process_of(it->path());
    if (process <= 0 || it->path().extension() != ".json") continue;
    if (::kill(static_cast<pid_t>(process), 0) == 0 || errno == EPERM) continue;  // still running
    std::error_code ignored;
    const auto time = it->last_write_time(ignored);
    if (newest && time < newest_time) continue;
    newest = it->path(), newest_time = time;
  }
  return newest;
}

io::Result<std::pair<Document, std::string>> StateFolder::recover(const fs::path& file) {
  const auto text = io::read_file(file, {}, io::max_json_bytes);
  if (!text) return tl::unexpected(text.error());
  auto document = parse_session(*text, file.string());
  forget(file);
  if (!document) return tl::unexpected(document.error());
  const io::Json json = io::Json::parse(*text, nullptr, false);
  std::string session_file;
  if (json.contains("session_file") && json["session_file"].is_string()) session_file = json["session_file"];
  return std::pair(std::move(*document), session_file);
}

std::vector<fs::path> StateFolder::recent() const {
  std::vector<fs::path> files;
  const auto text = io::read_file(folder_ / "recent.json");
  if (!text) return files;
  const io::Json json = io::Json::parse(*text, nullptr, false);
  if (!json.is_array()) return files;
  std::error_code code;
  for (const auto& entry : json)
    if (entry.is_string() && fs::is_regular_file(entry.get<std::string>(), code))
      files.emplace_back(entry.get<std::string>());
  return files;
}

void StateFolder::add_recent(const fs::path& file) {
  std::error_code code;
  const fs::path whole = fs::absolute(file, code);
  std::vector<fs::path> files = recent();
  std::erase(files, whole);
  files.insert(files.begin(), whole);
  if (files.size() > most_recent) files.resize(most_recent);
  io::Json json = io::Json::array();
  for (const fs::path& entry : files) json.push_back(entry.string());
  (void)io::write_file(folder_ / "recent.json", io::to_text(json));  // a list that cannot be kept is only forgotten
}

bool StateFolder::letter_paper() const {
  const auto text = io::read_file(folder_ / "paper.json");
  return text && io::Json::parse(*text, nullptr, false) == io::Json("letter");
}

void StateFolder::keep_letter_paper(bool letter) {
  (void)io::write_file(folder_ / "paper.json",
                       io::to_text(io::Json(letter ? "letter" : "a4")));  // as with recent files
}

}  // namespace aplomb::viewer
