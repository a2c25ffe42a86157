// Files opened last, and the paper chosen last: what cannot be kept is only forgotten.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "aplomb/io/files.h"
#include "state_folder.h"

namespace aplomb::viewer {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t most_recent = 10;

}  // namespace

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
