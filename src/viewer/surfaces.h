// The same screens without a display.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/viewer/view.h"
#include "app.h"

namespace aplomb::viewer {

/// Solves what the document asks for and writes the screen as a PNG. Errors: see view().
io::Result<void> write_screenshot(App& app, const ViewOptions& options, const io::Progress& progress);

/// Opens a window and runs until it is closed. Errors: see view().
io::Result<void> run_window(App& app, const ViewOptions& options, const io::Progress& progress);

/// Wakes the window's loop from any thread; harmless without a window.
void wake_window();

}  // namespace aplomb::viewer
