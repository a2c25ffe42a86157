// A page of a fitting: for the client (one picture, plain words, care and cautions) or for the workshop (dimensions,
// alterations, order). What it says comes from outside; here it is laid out.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/io/error.h"
#include "aplomb/report/camera.h"
#include "aplomb/report/paper.h"
#include "aplomb/report/rows.h"

namespace aplomb::report {

/// A heading with lines under it, or with a grid, or both.
struct PagePart {
  std::string title;
  std::vector<std::string> lines{};
  Grid grid{};
};

struct FittingPage {
  std::string title, subtitle;
  std::string date{};  ///< "2026-11-25", or empty
  std::string version;
  std::vector<PagePart> parts;
  const findings::Scene* scene = nullptr;  ///< one picture under the heading; null: none
  std::string caption{};                   ///< under the picture
  std::optional<Camera> camera{};          ///< from where it is taken, fitted to the picture; none: from the inner side
};

/// A PDF of one sheet where that holds all of it, else of as many as it takes, numbered; words as text, letters as
/// large as fit and never below 9 pt; everything is said in words and lines, so that it can be copied in black and
/// white. The same page gives the same bits. Written whole or not at all. Errors: bad_input when the date is no date;
/// cannot_write; those of rendering.
io::Result<void> write_fitting_page(const FittingPage& page, Paper paper, const std::filesystem::path& file,
                                    const std::filesystem::path& shader_folder);

}  // namespace aplomb::report
