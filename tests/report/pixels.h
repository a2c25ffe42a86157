// Pictures as pixels.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cairo.h>

#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <vector>

#include "aplomb/report/colour.h"

namespace aplomb::report::test {

struct Rgb {
  int r = 0, g = 0, b = 0;
  int distance(const Rgb& o) const { return std::abs(r - o.r) + std::abs(g - o.g) + std::abs(b - o.b); }
  /// Yellow to violet of the map, not the blue of the marks and the box, not skin.
  bool pressed() const { return r > b + 70 || (r > g + 70 && b > g + 30); }
};

inline Rgb rgb(const Colour& c) {
  return {static_cast<int>(std::lround(255 * c.r)), static_cast<int>(std::lround(255 * c.g)),
          static_cast<int>(std::lround(255 * c.b))};
}

struct Pixels {
  int width = 0, height = 0;
  std::vector<std::uint32_t> data;
  Rgb at(int x, int y) const {
    const std::uint32_t p = data[static_cast<std::size_t>(y) * width + x];
    return {static_cast<int>(p >> 16 & 255), static_cast<int>(p >> 8 & 255), static_cast<int>(p & 255)};
  }
  int count_pressed(int x0, int y0, int x1, int y1) const {
    int count = 0;
    for (int y = y0; y < y1; ++y)
      for (int x = x0; x < x1; ++x) count += at(x, y).pressed() ? 1 : 0;
    return count;
  }
  int differing(const Pixels& o) const {
    int count = 0;
    for (std::size_t i = 0; i < data.size(); ++i) count += data[i] != o.data[i] ? 1 : 0;
    return count;
  }
};

inline Pixels read_png(const std::filesystem::path& file) {
  cairo_surface_t* surface = cairo_image_surface_create_from_png(file.c_str());
  Pixels pixels{cairo_image_surface_get_width(surface), cairo_image_surface_get_height(surface), {}};
  for (int y = 0; y < pixels.height; ++y) {
    const auto* row = reinterpret_cast<const std::uint32_t*>(cairo_image_surface_get_data(surface) +
                                                             y * cairo_image_surface_get_stride(surface));
    pixels.data.insert(pixels.data.end(), row, row + pixels.width);
  }
  cairo_surface_destroy(surface);
  return pixels;
}

}  // namespace aplomb::report::test
