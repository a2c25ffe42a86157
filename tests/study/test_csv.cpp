// CSV read back by the rules of RFC 4180.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cstdlib>

#include "aplomb/study/csv.h"
#include "aplomb/study/summary.h"
#include "setup.h"

using namespace aplomb;
using namespace aplomb::study;

namespace {

/// RFC 4180 section 2: records end with a line end, fields are parted by commas, may be quoted, and "" inside quotes is
/// one quote.
std::vector<std::vector<std::string>> parsed(const std::string& text) {
  std::vector<std::vector<std::string>> rows(1, {""});
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '"') {
      if (quoted && i + 1 < text.size() && text[i + 1] == '"') {
        rows.back().back() += '"';
        ++i;
      } else {
        quoted = !quoted;
      }
    } else if (c == ',' && !quoted) {
      rows.back().emplace_back();
    } else if (c == '\n' && !quoted) {
      rows.push_back({""});
    } else {
      rows.back().back() += c;
    }
  }
  rows.pop_back();
  return rows;
}

}  // namespace

TEST_CASE("each stand is one row, and every number reads back the same") {
  StandRecord stand;
  stand.foot = 4;
  stand.foot_seed = 18446744073709551615ULL;
  stand.foot_length_mm = 241.30000000000001;
  stand.foot_breadth_mm = 1.0 / 3 + 90;
  stand.shoe = "her \"best\", broad";
  stand.findings.converged = true;
  stand.findings.depth_mm = 0.1 + 0.2;
  stand.findings.load_N = 255;
  stand.hold.ankle_command_deg = 1e-17;
  StandRecord lost;
  lost.findings.reason = "two\nlines";
  lost.findings.depth_mm = 5;  // not an answer: did not converge
  const auto rows = parsed(csv_text({stand, lost}));
  REQUIRE(rows.size() == 3);
  for (const auto& row : rows) CHECK(row.size() == rows[0].size());
  const auto cell = [&](std::size_t row, const std::string& column) {
    const auto found = std::find(rows[0].begin(), rows[0].end(), column);
    REQUIRE(found != rows[0].end());
    return rows[row][static_cast<std::size_t>(found - rows[0].begin())];
  };
  const auto number = [&](const std::string& column) { return std::strtod(cell(1, column).c_str(), nullptr); };
  CHECK(cell(1, "format") == "aplomb-study");
  CHECK(cell(1, "format_version") == "1");
  CHECK(cell(1, "foot") == "5");
  CHECK(cell(1, "foot_seed") == "18446744073709551615");
  CHECK(number("foot_length_mm") == stand.foot_length_mm);
  CHECK(number("foot_breadth_mm") == stand.foot_breadth_mm);
  CHECK(number("depth_mm") == 0.1 + 0.2);
  CHECK(number("load_N") == 255);
  CHECK(number("ankle_command_deg") == 1e-17);
  CHECK(cell(1, "mass_kg").empty());
  CHECK(cell(1, "sink_mm").empty());
  CHECK(cell(1, "shoe") == "her \"best\", broad");
  CHECK(cell(1, "converged") == "true");
  CHECK(cell(1, "position") == "full-pointe-two");
  CHECK(cell(2, "converged") == "false");
  CHECK(cell(1, "goes_in") == "true");
  CHECK(cell(2, "goes_in").empty());
  CHECK(cell(2, "reason") == "two\nlines");
  CHECK(cell(2, "depth_mm").empty());
  CHECK(rows[0].back() == "solve_ms");
  for (const Quantity& quantity : quantities()) CHECK(std::count(rows[0].begin(), rows[0].end(), quantity.key) == 1);
  CHECK(parsed(csv_text({})).size() == 1);
}
