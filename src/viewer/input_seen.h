// Which keys, buttons and places of the pointer the frames have seen, written down so that a test need not guess how
// long a frame takes.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/io/json.h"

namespace aplomb::viewer {

class InputSeen {
 public:
  /// Once a frame. `presses` of keys and buttons so far, `down` how many are held, `mouse` in pixels, `wheel` clicks so
  /// far, `frames` since any of these changed, up to 4: ImGui is through with it by then.
  io::Json look();

 private:
  int presses_ = 0, wheel_ = 0, frames_ = 0;
  io::Json before_;  ///< all but the frames
};

}  // namespace aplomb::viewer
