// What tests of pictures and pages share.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <iterator>
#include <string>

#include "../../src/report/offscreen.h"

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

/// Whether pictures can be drawn here; says that the test is skipped when not.
inline bool graphics() {
  static const bool there = Offscreen::open().has_value();
  if (!there) std::cout << "skipped: no OpenGL without a display on this machine\n";
  return there;
}

}  // namespace aplomb::report::test
