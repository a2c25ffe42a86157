// What is asked for: page, picture, or both from one rendering.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/pdf.h"

#include <fmt/format.h>

#include <algorithm>
#include <regex>

#include "aplomb/report/sequence.h"
#include "dates.h"
#include "heading.h"
#include "sheets.h"
#include "step_lines.h"

namespace aplomb::report {

io::Result<void> check_date(const std::string& date) {
  static const std::regex form("[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])");
  if (date.empty() || std::regex_match(date, form)) return {};
  return io::fail(
      {.field = "date", .message = fmt::format("\"{}\" is no date", date), .remedy = "write it as 2026-11-25"});
}

io::Result<void> write_report(const findings::Scene& scene, const findings::Findings& findings,
                              const std::filesystem::path& file, const ReportOptions& options) {
  return write_sheets(scene, findings, {}, file, options);
}

io::Result<void> write_sheets(const findings::Scene& scene, const findings::Findings& findings,
                              const std::filesystem::path& picture_file, const std::filesystem::path& report_file,
                              const ReportOptions& options) {
  return write_sheet({findings, scene, {}}, picture_file, report_file, options);
}

io::Result<void> write_sheet(const Sheet& sheet, const std::filesystem::path& picture_file,
                             const std::filesystem::path& report_file, const ReportOptions& options) {
  if (auto date = check_date(options.date); !date) return date;
  if (auto drawable = check_drawable(sheet.scene, sheet.findings); !drawable) return drawable;
  const auto stance =
      sheet.steps.empty() ? render_stance(sheet.scene, options.picture) : render_steps(sheet.steps, options.picture);
  if (!stance) return tl::unexpected(stance.error());
  if (!picture_file.empty())
    if (auto done = write_picture_of(*stance, sheet.scene, sheet.findings, picture_file); !done) return done;
  if (!report_file.empty())
    if (auto done = write_pages({{&*stance, &sheet.scene, &sheet.findings}}, report_file, options.paper, options.date);
        !done)
      return done;
  return {};
}

namespace {

/// What holds of all positions together: inputs and limits, no findings.
findings::Findings of_all(const std::vector<Sheet>& sheets) {
  const findings::Findings& one = sheets.front().findings;
  findings::Findings all;
  all.side = one.side;
  all.position = "all";
  all.foot_name = one.foot_name, all.shoe_name = one.shoe_name;
  all.foot_hash = one.foot_hash, all.shoe_hash = one.shoe_hash;
  all.template_hash = one.template_hash, all.constants_hash = one.constants_hash;
  all.version = one.version;
  all.mass_kg = one.mass_kg;
  all.friction = one.friction;
  all.converged = true;
  all.break_point.applies = all.plumb.applies = false;
  all.limits = one.limits;
  for (const Sheet& sheet : sheets) {
    all.load_N = std::max(all.load_N, sheet.findings.load_N);
    all.force_balance_error = std::max(all.force_balance_error, sheet.findings.force_balance_error);
    all.goes_in = all.goes_in && sheet.findings.goes_in;
    if (!sheet.findings.converged)
      all.limits.insert(all.limits.begin(), fmt::format("Not shown: {} ({}).", position_words(sheet.findings.position),
                                                        outcome(sheet.findings)));
  }
  return all;
}

}  // namespace

io::Result<void> write_sequence(const std::vector<Sheet>& sheets, const std::filesystem::path& picture_file,
                                const std::filesystem::path& report_file, const ReportOptions& options) {
  if (auto date = check_date(options.date); !date) return date;
  std::vector<Step> overview;
  std::vector<const Sheet*> drawn;
  std::vector<Stance> stances;
  stances.reserve(sheets.size() + 1);
  for (const Sheet& sheet : sheets) {
    if (!sheet.findings.converged) continue;
    if (auto drawable = check_drawable(sheet.scene, sheet.findings); !drawable) return drawable;
    auto stance =
        sheet.steps.empty() ? render_stance(sheet.scene, options.picture) : render_steps(sheet.steps, options.picture);
    if (!stance) return tl::unexpected(stance.error());
    stances.push_back(std::move(*stance));
    drawn.push_back(&sheet);
    // A way is shown by a state from its middle.
    const findings::Scene& scene = sheet.steps.empty() ? sheet.scene : sheet.steps[sheet.steps.size() / 2].scene;
    overview.push_back({scene, position_words(sheet.findings.position), key_lines(sheet.findings)});
  }
  if (drawn.empty())
    return io::fail({.kind = io::ErrorKind::not_converged,
                     .message = "no position converged: there is nothing to draw",
                     .remedy = "look at the shoe's and the foot's numbers"});
  const findings::Findings all = of_all(sheets);
  const auto together = render_steps(overview, options.picture);
  if (!together) return tl::unexpected(together.error());
  if (!picture_file.empty()) {
    if (auto done = write_picture_of(*together, drawn.front()->scene, all, picture_file); !done) return done;
    for (std::size_t i = 0; i < drawn.size(); ++i)
      if (auto done = write_picture_of(stances[i], drawn[i]->scene, drawn[i]->findings,
                                       picture_of_position(picture_file, drawn[i]->findings.position));
          !done)
        return done;
  }
  if (report_file.empty()) return {};
  std::vector<Page> pages{{&*together, &drawn.front()->scene, &all, sequence_grid(sheets)}};
  for (std::size_t i = 0; i < drawn.size(); ++i) pages.push_back({&stances[i], &drawn[i]->scene, &drawn[i]->findings});
  return write_pages(pages, report_file, options.paper, options.date);
}

}  // namespace aplomb::report
