// `aplomb view`: the window, and its pictures without a display.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/bands/ranges.h"
#include "aplomb/io/error.h"
#include "aplomb/io/progress.h"
#include "aplomb/stance/constants.h"
#include "aplomb/stance/positions.h"

namespace aplomb::viewer {

struct ViewOptions {
  std::filesystem::path data;  ///< see io::data_folder()
  stance::Constants constants;
  std::vector<bands::GuessRange> ranges = bands::usual_ranges();  ///< how far guesses among them may be off
  std::string version;
  std::string session;             ///< opened first; empty: the sample
  std::vector<std::string> files;  ///< cards, feet, shoes opened after it
  std::vector<std::string> drops;  ///< handled as drops on the window
  std::optional<stance::Position> position;
  int width_px = 1280, height_px = 800;
  std::string screenshot;  ///< a PNG to write instead of opening a window
  std::string ui_state;    ///< JSON file rewritten with what is on the screen; empty: none
};

/// Opens the window and returns when it is closed; or writes the picture and returns. Errors: bad_input (files,
/// shaders); cannot_write (no display, no OpenGL 3.3, the picture); cancelled.
io::Result<void> view(const ViewOptions& options, const io::Progress& progress);

}  // namespace aplomb::viewer
