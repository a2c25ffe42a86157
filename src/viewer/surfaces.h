// The same screens without a display.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/viewer/view.h"
#include "app.h"
#include "report/offscreen.h"

namespace aplomb::viewer {

/// Solves what the document asks for and writes the screen as a PNG. Errors: see view().
io::Result<void> write_screenshot(App& app, const ViewOptions& options, const io::Progress& progress);

/// Frames without a display; the context is current on this thread while it lives.
class Headless {
 public:
  /// Errors: cannot_write (no OpenGL 3.3 here), and those of App::start_graphics().
  static io::Result<Headless> open(App& app, int width_px, int height_px);
  /// The panels alone: finds sizes, takes answers.
  void frame(App& app) const;
  /// A frame, drawn and read back. Errors: cannot_write.
  io::Result<report::Image> picture(App& app) const;

  Headless(Headless&&) noexcept;
  Headless& operator=(Headless&&) noexcept;
  ~Headless();

 private:
  struct Parts;
  explicit Headless(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

/// Opens a window and runs until it is closed. Errors: see view().
io::Result<void> run_window(App& app, const ViewOptions& options, const io::Progress& progress);

/// Wakes the window's loop from any thread; harmless without a window.
void wake_window();

}  // namespace aplomb::viewer
