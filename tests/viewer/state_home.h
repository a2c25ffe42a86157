// A state folder of one test's own.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdlib>
#include <filesystem>

#include "../temporary_folder.h"

namespace aplomb::test {

/// $XDG_STATE_HOME for as long as it lives.
struct StateHome {
  const scratch::Folder folder;
  StateHome() { ::setenv("XDG_STATE_HOME", folder.path.c_str(), 1); }
  ~StateHome() { ::unsetenv("XDG_STATE_HOME"); }

  std::size_t autosaves() const {
    std::size_t count = 0;
    for (const auto& entry : std::filesystem::directory_iterator(folder.path / "aplomb"))
      if (entry.path().filename().string().starts_with("autosave-") && entry.path().extension() == ".json") ++count;
    return count;
  }
};

}  // namespace aplomb::test
