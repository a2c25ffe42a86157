// A temporary folder for the files of one test.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdlib>
#include <filesystem>
#include <iterator>
#include <string>

namespace aplomb::report::test {

namespace fs = std::filesystem;

/// A folder of its own that goes away.
struct Folder {
  fs::path path;
  Folder() {
    std::string name = (fs::temp_directory_path() / "aplomb_report_XXXXXX").string();
    path = ::mkdtemp(name.data());
  }
  ~Folder() { fs::remove_all(path); }
  std::size_t files() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(path), fs::directory_iterator()));
  }
};

}  // namespace aplomb::report::test
