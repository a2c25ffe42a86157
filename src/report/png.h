// A picture in memory that becomes a PNG file, whole or not at all.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>

#include "aplomb/io/error.h"
#include "canvas.h"

namespace aplomb::report {

class PngPicture {
 public:
  PngPicture(int width_px, int height_px);
  Canvas& canvas() { return canvas_; }
  /// Errors (cannot_write): Cairo failed, or io::write_file().
  io::Result<void> write(const std::filesystem::path& file) const;

 private:
  Surface surface_;
  Canvas canvas_;
};

}  // namespace aplomb::report
