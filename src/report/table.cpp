// Display rows laid out in columns for a terminal.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/table.h"

#include <fmt/format.h>

#include <algorithm>

#include "aplomb/report/rows.h"
#include "columns.h"

namespace aplomb::report {

namespace {

std::string rows_text(const std::vector<Row>& rows, std::size_t name_columns, std::size_t value_columns,
                      std::size_t doubt_columns, std::size_t band_columns) {
  std::string out;
  for (const Row& row : rows) {
    std::string line = fmt::format("  {}  {}", left(row.name, name_columns), right(row.value, value_columns));
    if (doubt_columns > 0) line += fmt::format("  {}", right(row.doubt, doubt_columns));
    if (band_columns > 0) line += fmt::format("  {}", right(row.band, band_columns));
    line += fmt::format("  {}", row.meaning);
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + "\n";
  }
  return out;
}

std::string basis_text(const std::vector<Row>& rows) {
  std::size_t most = 0;
  for (const Row& row : rows) most = std::max(most, width(row.name));
  std::string out;
  for (const Row& row : rows) {
    out += fmt::format("  {}  {}", left(row.name, most), row.value);
    if (!row.meaning.empty()) out += fmt::format(" ({})", row.meaning);
    out += "\n";
  }
  return out;
}

std::string list_text(const std::string& title, const std::vector<std::string>& lines) {
  if (lines.empty()) return {};
  std::string out = fmt::format("\n{}", underline(title));
  for (const std::string& line : lines) out += wrapped("  - ", line, 100);
  return out;
}

}  // namespace

std::string grid_text(const Grid& grid) {
  if (grid.rows.empty()) return {};
  std::vector<std::size_t> columns;
  for (std::size_t c = 0; c < grid.columns.size(); ++c) {
    std::size_t most = width(grid.columns[c]);
    for (const auto& row : grid.rows) most = std::max(most, width(row[c]));
    columns.push_back(most);
  }
  const auto line = [&](const std::vector<std::string>& cells) {
    std::string out = fmt::format("  {}", left(cells[0], columns[0]));
    for (std::size_t c = 1; c < cells.size(); ++c) out += fmt::format("  {}", right(cells[c], columns[c]));
    return out + "\n";
  };
  std::string out = fmt::format("\n{}{}", underline(grid.title), line(grid.columns));
  for (const auto& row : grid.rows) out += line(row);
  return out;
}

std::string table(const findings::Findings& findings) {
  const std::vector<Section> parts = sections(findings);
  std::size_t names = 0, values = 0, doubts = 0, bands = 0;
  for (const Section& part : parts) {
    for (const Row& row : part.rows) {
      names = std::max(names, width(row.name));
      values = std::max(values, width(row.value));
      doubts = std::max(doubts, width(row.doubt));
      bands = std::max(bands, width(row.band));
    }
  }
  std::string out = underline(heading(findings)) + basis_text(basis(findings));
  if (!findings.converged)
    out += findings.goes_in ? "\nNo findings: the solver found no place of rest that balances.\n"
                            : fmt::format("\nDoes not go in: {}. No other findings.\n", findings.reason);
  for (const Section& part : parts)
    out += fmt::format("\n{}{}", underline(part.title), rows_text(part.rows, names, values, doubts, bands));
  out += grid_text(way_down_grid(findings));
  out += grid_text(toe_grid(findings));
  out += grid_text(region_grid(findings));
  out += grid_text(gradient_grid(findings));
  if (doubts > 0) out += fmt::format("\n{}", wrapped("", doubt_words(), 100));
  if (bands > 0)
    out += fmt::format(
        "\n{}",
        wrapped("",
                "\"a to b\": friction as it built up on the way in, and after it has settled by small movements; "
                "\"unchanged\": settling moves it by less than is shown.",
                100));
  out += list_text("How sure", doubt_lines(findings));
  out += list_text("What to try", findings.advice);
  out += list_text("Limits", findings.limits);
  out += list_text("Cautions", cautions());
  return out;
}

}  // namespace aplomb::report
