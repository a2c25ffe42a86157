// What is asked for: page, picture, or both from one rendering.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/pdf.h"

#include <fmt/format.h>

#include <regex>

#include "heading.h"
#include "sheets.h"

namespace aplomb::report {

namespace {

io::Result<void> check_date(const std::string& date) {
  static const std::regex form("[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])");
  if (date.empty() || std::regex_match(date, form)) return {};
  return io::fail(
      {.field = "date", .message = fmt::format("\"{}\" is no date", date), .remedy = "write it as 2026-11-25"});
}

}  // namespace

io::Result<void> write_report(const findings::Scene& scene, const findings::Findings& findings,
                              const std::filesystem::path& file, const ReportOptions& options) {
  return write_sheets(scene, findings, {}, file, options);
}

io::Result<void> write_sheets(const findings::Scene& scene, const findings::Findings& findings,
                              const std::filesystem::path& picture_file, const std::filesystem::path& report_file,
                              const ReportOptions& options) {
  if (auto date = check_date(options.date); !date) return date;
  if (auto drawable = check_drawable(scene, findings); !drawable) return drawable;
  const auto stance = render_stance(scene, options.picture);
  if (!stance) return tl::unexpected(stance.error());
  if (!picture_file.empty())
    if (auto done = write_picture_of(*stance, scene, findings, picture_file); !done) return done;
  if (!report_file.empty())
    if (auto done = write_page_of(*stance, scene, findings, report_file, options.date); !done) return done;
  return {};
}

}  // namespace aplomb::report
