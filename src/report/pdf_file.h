// A PDF file from what is drawn on its pages.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <functional>
#include <string>

#include "aplomb/io/error.h"
#include "canvas.h"

namespace aplomb::report {

struct PdfFile {
  double width = 0, height = 0;  ///< of every page, pt
  std::string title;
  std::string version;  ///< of the program
  std::string date;     ///< 2026-11-25, or empty
};

/// Draws and writes it; nothing is written when drawing fails. Pages after the first begin with cairo_show_page.
io::Result<void> write_pdf(const PdfFile& about, const std::filesystem::path& file,
                           const std::function<void(Canvas&)>& draw);

}  // namespace aplomb::report
