// The open table of foot dimensions that the prior is made from (even rows) and tested against (odd rows).
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <fstream>
#include <sstream>

#include "feet.h"

namespace aplomb::foot::testing {

/// One woman of ANSUR II (2012): nine dimensions and mass, read on a standing foot, to whole mm.
struct AnthropometryRow {
  int line = 0;  ///< 0 is the first after the header
  Numbers numbers;
  bool made_the_prior() const { return line % 2 == 0; }
};

/// All 993 rows, or nothing with a line that says why.
inline std::optional<std::vector<AnthropometryRow>> anthropometry() {
  const auto file = shared_file("data/anthropometry/ansur2_women_feet.csv");
  if (!file) return std::nullopt;
  std::stringstream in;
  in << std::ifstream(*file).rdbuf();
  std::string text = in.str(), line, cell;
  std::erase(text, '\r');
  in.str(text);
  std::getline(in, line);
  std::vector<std::optional<int>> column;
  for (std::istringstream header(line); std::getline(header, cell, ',');) column.push_back(find_number(cell));
  std::vector<AnthropometryRow> rows;
  for (int row = 0; std::getline(in, line); ++row) {
    AnthropometryRow each{.line = row, .numbers = {}};
    std::istringstream cells(line);
    for (std::size_t c = 0; std::getline(cells, cell, ','); ++c)
      if (column[c]) each.numbers[*column[c]] = std::stod(cell);
    rows.push_back(each);
  }
  REQUIRE(rows.size() == 993);
  return rows;
}

inline std::vector<AnthropometryRow> half(const std::vector<AnthropometryRow>& rows, bool made_the_prior) {
  std::vector<AnthropometryRow> out;
  for (const auto& row : rows)
    if (row.made_the_prior() == made_the_prior) out.push_back(row);
  return out;
}

}  // namespace aplomb::foot::testing
