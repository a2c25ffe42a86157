// PNG through Cairo, into memory first.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "png.h"

#include <fmt/format.h>

#include "aplomb/io/files.h"

namespace aplomb::report {

PngPicture::PngPicture(int width_px, int height_px)
    : surface_(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width_px, height_px)), canvas_(surface_.get()) {}

io::Result<void> PngPicture::write(const std::filesystem::path& file) const {
  std::string bytes;
  const auto append = [](void* to, const unsigned char* data, unsigned int length) {
    static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
  };
  std::string fault = canvas_.fault();
  if (fault.empty()) {
    const cairo_status_t status = cairo_surface_write_to_png_stream(surface_.get(), append, &bytes);
    if (status != CAIRO_STATUS_SUCCESS) fault = cairo_status_to_string(status);
  }
  if (!fault.empty())
    return io::fail({.kind = io::ErrorKind::cannot_write,
                     .file = file.string(),
                     .message = fmt::format("the picture could not be drawn ({})", fault),
                     .remedy = "please report it with the files given"});
  return io::write_file(file, bytes);
}

}  // namespace aplomb::report
