// One page for the fitter and the dancer: picture, findings in plain words, how sure, limits, cautions.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>

#include "aplomb/findings/findings.h"
#include "aplomb/io/error.h"
#include "aplomb/report/paper.h"
#include "aplomb/report/picture.h"

namespace aplomb::report {

struct ReportOptions {
  PictureOptions picture{};
  Paper paper = Paper::a4;
  std::string date{};  ///< of the fitting, "2026-11-25"; printed, and kept as the file's date; empty: neither
};

/// A PDF of one page, words as text. The same findings, scene and options give the same bits. Written whole or not
/// at all. Errors: see write_picture(); bad_input when the date is not of that form.
io::Result<void> write_report(const findings::Scene& scene, const findings::Findings& findings,
                              const std::filesystem::path& file, const ReportOptions& options);

struct Sheet;

/// The same of a sheet, its steps in place of the three views where it has any.
io::Result<void> write_sheet(const Sheet& sheet, const std::filesystem::path& picture_file,
                             const std::filesystem::path& report_file, const ReportOptions& options);

/// Picture and page from one rendering; an empty name leaves that one out. Errors: see write_picture(), write_report().
io::Result<void> write_sheets(const findings::Scene& scene, const findings::Findings& findings,
                              const std::filesystem::path& picture_file, const std::filesystem::path& report_file,
                              const ReportOptions& options);

}  // namespace aplomb::report
