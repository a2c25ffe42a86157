// The page: flows display rows into two columns under the picture, smaller where there is much to say.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>

#include "aplomb/report/rows.h"
#include "heading.h"
#include "pdf_file.h"
#include "sheets.h"

namespace aplomb::report {

namespace {

// Points.
constexpr double edge = 34;
constexpr double heading_height = 40, column_gap = 16;

/// Everything that is written under the picture, at letters of `size` points. Draws, and says where it ended.
class Flow {
 public:
  Flow(Canvas& canvas, const findings::Findings& findings, const Grid& more, double inner, double size)
      : canvas_(canvas), findings_(findings), more_(more), inner_(inner), size_(size) {}

  double run(double top) {
    const double findings_end = columns(top);
    double more_end = findings_end;
    for (const Grid& whole : {more_, way_down_grid(findings_)})
      if (!whole.rows.empty()) more_end = grid(edge, more_end + 0.6 * size_, inner_, whole, needed(whole));
    const double grids_end = grids(more_end + 0.6 * size_);
    return closing(grids_end + 0.6 * size_);
  }

 private:
  double title(double x, double y, double width, const std::string& words) {
    canvas_.text(x, y, words, {.size = 1.1 * size_, .bold = true});
    canvas_.line({{x, y + 1.55 * size_}, {x + width, y + 1.55 * size_}}, theme.hairline, 0.6);
    return y + 1.85 * size_;
  }

  double row(double x, double y, double width, const Row& row) {
    const double name = 0.33 * width, value = 0.19 * width, gap = 0.02 * width;
    std::string meaning = row.doubt.empty() ? row.meaning : fmt::format("{}  {}", row.doubt, row.meaning);
    if (!row.band.empty()) meaning += fmt::format(" ({} as friction settles)", row.band);
    const double h1 = canvas_.text(x, y, row.name, {.size = size_, .width = name});
    canvas_.text(x + name + value, y, row.value, {.size = size_, .bold = true, .align = Align::right});
    const double h2 = canvas_.text(x + name + value + gap, y + 0.06 * size_, meaning,
                                   {.size = 0.9 * size_, .colour = theme.quiet, .width = width - name - value - gap});
    return y + std::max(h1, h2) + 0.12 * size_;
  }

  double section(double x, double y, double width, const Section& part) {
    y = title(x, y, width, part.title);
    for (const Row& one : part.rows) y = row(x, y, width, one);
    return y + 0.5 * size_;
  }

  /// Sections in reading order, broken into two columns where the halves come out most even.
  double columns(double top) {
    const auto parts = sections(findings_);
    const double width = (inner_ - column_gap) / 2;
    std::vector<double> heights;
    {
      const Surface scratch(cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1));
      Canvas nowhere(scratch.get());
      Flow measure(nowhere, findings_, more_, inner_, size_);
      for (const Section& part : parts) heights.push_back(measure.section(0, 0, width, part));
    }
    double total = 0, left = 0;
    for (const double height : heights) total += height;
    std::size_t split = 0;
    while (split < parts.size() && std::abs(left + heights[split] - total / 2) <= std::abs(left - total / 2))
      left += heights[split++];
    double ends[2] = {top, top};
    for (std::size_t i = 0; i < parts.size(); ++i) {
      const int column = i < split ? 0 : 1;
      ends[column] = section(edge + column * (width + column_gap), ends[column], width, parts[i]);
    }
    return std::max(ends[0], ends[1]);
  }

  TextStyle cell(bool head, bool first) const {
    return {
        .size = 0.92 * size_, .colour = head ? theme.quiet : theme.ink, .align = first ? Align::left : Align::right};
  }

  /// Width of each column with its longest words.
  std::vector<double> needed(const Grid& grid) {
    std::vector<double> widths;
    for (std::size_t c = 0; c < grid.columns.size(); ++c) {
      double most = canvas_.text_size(grid.columns[c], cell(true, c == 0)).x();
      for (const auto& words : grid.rows) most = std::max(most, canvas_.text_size(words[c], cell(false, c == 0)).x());
      widths.push_back(most);
    }
    return widths;
  }

  /// What is left over goes between the columns.
  double grid(double x, double y, double width, const Grid& grid, const std::vector<double>& widths) {
    y = title(x, y, width, grid.title);
    double gap = width;
    for (const double one : widths) gap -= one;
    gap /= static_cast<double>(widths.size()) - 1;
    const auto line = [&](const std::vector<std::string>& words, bool head) {
      double at = x;
      for (std::size_t c = 0; c < words.size(); ++c) {
        canvas_.text(c == 0 ? at : at + widths[c], y, words[c], cell(head, c == 0));
        at += widths[c] + gap;
      }
      y += 1.35 * size_;
    };
    line(grid.columns, true);
    for (const auto& words : grid.rows) line(words, false);
    return y;
  }

  double grids(double top) {
    const Grid toes = toe_grid(findings_), regions = region_grid(findings_);
    const auto toe_widths = needed(toes), region_widths = needed(regions);
    double toe_need = 0, region_need = 0;
    for (const double one : toe_widths) toe_need += one + size_;
    for (const double one : region_widths) region_need += one + size_;
    const bool two = !toes.rows.empty() && !regions.rows.empty();
    const double toe_width = two ? toe_need / (toe_need + region_need) * (inner_ - column_gap) : inner_;
    double end = top;
    if (!toes.rows.empty()) end = grid(edge, top, toe_width, toes, toe_widths);
    const double x = two ? edge + toe_width + column_gap : edge;
    if (!regions.rows.empty()) end = std::max(end, grid(x, top, edge + inner_ - x, regions, region_widths));
    return end;
  }

  double list(double x, double y, double width, const std::string& name, const std::vector<std::string>& lines) {
    y = title(x, y, width, name);
    for (const std::string& words : lines) {
      canvas_.text(x, y, "\u2022", {.size = size_});
      y += canvas_.text(x + size_, y, words, {.size = size_, .width = width - size_}) + 0.2 * size_;
    }
    return y + 0.4 * size_;
  }

  double closing(double y) {
    if (const auto doubts = doubt_lines(findings_); !doubts.empty()) {
      std::vector<std::string> lines{doubt_words()};
      lines.insert(lines.end(), doubts.begin(), doubts.end());
      y = list(edge, y, inner_, "How sure", lines);
    }
    if (!findings_.advice.empty()) y = list(edge, y, inner_, "What to try", findings_.advice);
    const double width = (inner_ - column_gap) / 2;
    double end = y;
    if (!findings_.limits.empty()) end = list(edge, y, width, "Limits", findings_.limits);
    return std::max(end, list(edge + width + column_gap, y, width, "Cautions", cautions()));
  }

  Canvas& canvas_;
  const findings::Findings& findings_;
  const Grid& more_;
  double inner_;  // breadth between the page's edges
  double size_;
};

/// The largest letters, from comfortable down to barely readable, with which all fits above `bottom`.
double size_that_fits(const findings::Findings& findings, const Grid& more, double inner, double top, double bottom) {
  double size = 8.2;
  const Surface scratch(cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1));
  Canvas nowhere(scratch.get());
  while (size > 4.5 && Flow(nowhere, findings, more, inner, size).run(top) > bottom) size -= 0.3;
  return size;
}

void draw_page(Canvas& canvas, const Page& page, const PaperSize& paper, const std::string& date) {
  const double inner = paper.width - 2 * edge;
  const findings::Findings& findings = *page.findings;
  draw_heading(canvas, {edge, edge, inner, heading_height}, findings, 0.46);
  if (!date.empty())
    canvas.text(edge + inner, edge + (findings.goes_in ? 0 : 22), date,
                {.size = 10, .colour = theme.quiet, .align = Align::right});

  const double scale = inner / stance_width, picture_top = edge + heading_height + 8;
  canvas.push(edge, picture_top, scale);
  draw_stance(canvas, *page.stance, *page.scene, {.text = 25, .line = 2.6, .dot = 9});
  canvas.pop();

  const double top = picture_top + stance_height * scale + 12, bottom = paper.height - edge - 22;
  Flow(canvas, findings, page.more, inner, size_that_fits(findings, page.more, inner, top, bottom)).run(top);

  double y = paper.height - edge - 14;
  for (const char* const key : {"inputs.hashes", "version"}) {
    std::string words;
    for (const Row& row : basis(findings))
      if (row.key == key || (row.key == "force_balance_error" && key == std::string_view("version")))
        words += fmt::format("{}{}: {}", words.empty() ? "" : "   \u00b7   ", row.name, row.value);
    canvas.text(edge, y, words, {.size = 5.8, .colour = theme.quiet});
    y += 8;
  }
}

}  // namespace

io::Result<void> write_pages(const std::vector<Page>& pages, const std::filesystem::path& file, Paper paper,
                             const std::string& date) {
  const findings::Findings& findings = *pages.front().findings;
  const PaperSize size = size_of(paper);
  const PdfFile about{size.width, size.height, heading(findings), findings.version, date};
  return write_pdf(about, file, [&](Canvas& canvas) {
    for (const Page& page : pages) {
      if (&page != &pages.front()) cairo_show_page(canvas.cairo());
      draw_page(canvas, page, size, date);
    }
  });
}

}  // namespace aplomb::report
