// A temporary folder for the files of one test.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdlib>
#include <filesystem>
#include <iterator>
#include <string>

namespace aplomb::scratch {

namespace fs = std::filesystem;

/// A folder of its own that goes away: cases run side by side, so no two may share a name.
struct Folder {
  fs::path path;
  Folder() {
    std::string name = (fs::temp_directory_path() / "aplomb_test_XXXXXX").string();
    path = ::mkdtemp(name.data());
  }
  ~Folder() { fs::remove_all(path); }
  std::size_t files() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(path), fs::directory_iterator()));
  }
};

}  // namespace aplomb::scratch
