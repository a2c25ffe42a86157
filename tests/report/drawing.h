// What tests of pictures and pages share.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <iostream>

#include "../../src/report/offscreen.h"
#include "../temporary_folder.h"

namespace aplomb::report::test {

/// Whether pictures can be drawn here; says that the test is skipped when not.
inline bool graphics() {
  static const bool there = Offscreen::open().has_value();
  if (!there) std::cout << "skipped: no OpenGL without a display on this machine\n";
  return there;
}

}  // namespace aplomb::report::test
