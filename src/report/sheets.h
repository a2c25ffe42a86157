// Picture and page from views that are rendered already.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>

#include "aplomb/report/paper.h"
#include "views.h"

namespace aplomb::report {

/// Errors: cannot_write.
io::Result<void> write_picture_of(const Stance& stance, const findings::Scene& scene,
                                  const findings::Findings& findings, const std::filesystem::path& file);
/// One page of a PDF.
struct Page {
  const Stance* stance = nullptr;
  const findings::Scene* scene = nullptr;
  const findings::Findings* findings = nullptr;
  Grid more{};  ///< a grid of its own before the others; may have no rows
};
io::Result<void> write_pages(const std::vector<Page>& pages, const std::filesystem::path& file, Paper paper,
                             const std::string& date);

}  // namespace aplomb::report
