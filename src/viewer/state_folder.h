// $XDG_STATE_HOME/aplomb: autosaved sessions, one for each running program; recent files and paper.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "document.h"

namespace aplomb::viewer {

class StateFolder {
 public:
  /// $XDG_STATE_HOME/aplomb, else ~/.local/state/aplomb. Makes it where it can.
  StateFolder();

  /// Errors: cannot_write; asked once they are told only once by the caller.
  io::Result<void> keep(const Document& document, const std::string& session_file);
  /// After a clean end, or when it is saved.
  void forget_own();

  /// A session of a program that is no longer there and did not forget it; the newest.
  std::optional<std::filesystem::path> left_behind() const;
  /// Document and session file of what was left behind; removes it.
  io::Result<std::pair<Document, std::string>> recover(const std::filesystem::path& file);
  void forget(const std::filesystem::path& file);

  std::vector<std::filesystem::path> recent() const;  ///< newest first, only what is there
  void add_recent(const std::filesystem::path& file);

  bool letter_paper() const;  ///< as last chosen; A4 before that
  void keep_letter_paper(bool letter);

 private:
  std::filesystem::path folder_, own_;
};

}  // namespace aplomb::viewer
