// State of the own file panel: a folder's entries, a name to save under.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace aplomb::viewer {

struct FolderEntry {
  std::string name;
  bool folder = false;
};

struct FilePanel {
  enum class Purpose { open, save };
  Purpose purpose = Purpose::open;
  std::filesystem::path folder;
  std::vector<FolderEntry> entries;  ///< folders first, then files that can be opened, by name
  std::string complaint;             ///< the folder cannot be read
  std::string name;                  ///< typed
  bool focus_name = false;
  std::filesystem::path told_of;  ///< file that it was not saved to at once
  std::string told;               ///< why

  static FilePanel make(Purpose purpose, const std::filesystem::path& folder);
  void go(const std::filesystem::path& folder);
};

}  // namespace aplomb::viewer
