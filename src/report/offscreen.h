// OpenGL without a display: an EGL context with no surface, and a multisampled framebuffer to read pixels from.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <vector>

#include "aplomb/io/error.h"
#include "aplomb/report/colour.h"

namespace aplomb::report {

/// Premultiplied ARGB, one 32-bit word a pixel in machine order (Cairo's ARGB32), top row first.
struct Image {
  int width = 0, height = 0;
  std::vector<std::uint32_t> pixels;
};

/// Current on this thread from open() to destruction; one at a time on a thread.
class Offscreen {
 public:
  /// Errors (cannot_write): EGL or OpenGL 3.3 is not to be had on this machine.
  static io::Result<Offscreen> open();

  /// Clears to `background`, calls `draw`, and returns the pixels, smoothed over 4 samples each.
  /// Errors (cannot_write): the framebuffer is refused (too large).
  io::Result<Image> render(int width_px, int height_px, const Colour& background,
                           const std::function<void()>& draw) const;

  Offscreen(Offscreen&&) noexcept;
  Offscreen& operator=(Offscreen&&) noexcept;
  ~Offscreen();

 private:
  struct Context;
  explicit Offscreen(std::unique_ptr<Context> context);
  std::unique_ptr<Context> context_;
};

}  // namespace aplomb::report
