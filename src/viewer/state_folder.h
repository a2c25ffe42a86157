// $XDG_STATE_HOME/aplomb: autosaved sessions, one for each running program; recent files and paper.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "document.h"
#include "file_lock.h"

namespace aplomb::viewer {

/// A session as it is kept while nobody has saved it.
struct KeptSession {
  Document document;
  std::string file;  ///< that it was opened from or saved to, whole path; empty: none
  std::string hash;  ///< io::content_hash() of that file as this session knows it; empty: not known
};

class StateFolder {
 public:
  /// $XDG_STATE_HOME/aplomb, else ~/.local/state/aplomb. Makes it where it can.
  StateFolder();
  ~StateFolder();
  StateFolder(const StateFolder&) = delete;
  StateFolder& operator=(const StateFolder&) = delete;

  /// Once it is written, what was recovered is forgotten. Errors: cannot_write.
  io::Result<void> keep(const KeptSession& session);
  /// After a clean end, or when it is saved; what was recovered goes with it.
  void forget_own();

  /// A session of a program that is no longer there and did not forget it; the newest. Another program is not offered
  /// it as long as this one runs.
  std::optional<std::filesystem::path> left_behind();
  /// What was left behind; it stays until the next keep() or forget_own(). Errors: as parse_session(), and it stays
  /// too.
  io::Result<KeptSession> recover(const std::filesystem::path& file);
  void forget(const std::filesystem::path& file);

  std::vector<std::filesystem::path> recent() const;  ///< newest first, only what is there
  void add_recent(const std::filesystem::path& file);

  bool letter_paper() const;  ///< as last chosen; A4 before that
  void keep_letter_paper(bool letter);

 private:
  std::filesystem::path folder_, own_;
  std::optional<FileLock> own_lock_, found_lock_;
  std::optional<std::filesystem::path> found_, recovered_;
};

}  // namespace aplomb::viewer
