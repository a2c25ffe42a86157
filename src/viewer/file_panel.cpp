// Reads folders; the window with them is in panel_files.cpp.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "file_panel.h"

#include <algorithm>

#include "opening.h"

namespace aplomb::viewer {

namespace fs = std::filesystem;

FilePanel FilePanel::make(Purpose purpose, const fs::path& folder) {
  FilePanel panel;
  panel.purpose = purpose;
  panel.focus_name = purpose == Purpose::save;
  if (purpose == Purpose::save) panel.name = "session.json";
  panel.go(folder);
  return panel;
}

void FilePanel::go(const fs::path& to) {
  std::error_code code;
  const fs::path whole = fs::weakly_canonical(fs::absolute(to, code), code);
  if (!whole.empty()) folder = whole;
  entries.clear();
  complaint.clear();
  fs::directory_iterator it(folder, fs::directory_options::skip_permission_denied, code);
  if (code) {
    complaint = "This folder cannot be read: " + code.message();
    return;
  }
  for (; it != fs::directory_iterator(); it.increment(code)) {
    if (code) break;
    const std::string entry = it->path().filename().string();
    if (entry.starts_with('.')) continue;
    std::error_code ignored;
    const bool is_folder = it->is_directory(ignored);
    const std::string ending = it->path().extension().string();
    const bool scan = purpose == Purpose::open && is_scan(it->path());
    if (is_folder || scan || ending == ".toml" || ending == ".json" || ending == ".csv")
      entries.push_back({entry, is_folder});
  }
  std::sort(entries.begin(), entries.end(), [](const FolderEntry& a, const FolderEntry& b) {
    return a.folder != b.folder ? a.folder : a.name < b.name;
  });
}

}  // namespace aplomb::viewer
