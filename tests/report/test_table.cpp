// The terminal table: words, units, alignment, cautions; nothing when there is nothing to say.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <regex>
#include <sstream>

#include "aplomb/findings/assess.h"
#include "aplomb/report/rows.h"
#include "aplomb/report/table.h"
#include "sample.h"

using namespace aplomb;
using namespace aplomb::report;
using namespace aplomb::report::test;

namespace {

bool has(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

const Row* find(const std::vector<Section>& parts, const std::string& key) {
  for (const Section& part : parts)
    for (const Row& row : part.rows)
      if (row.key == key) return &row;
  return nullptr;
}

}  // namespace

TEST_CASE("Every number in the table has a unit", "[report][table]") {
  const std::regex with_unit("^[+-]?[0-9]+(\\.[0-9]+)? (mm|deg|%|kPa|cm\u00b2|N m)$");
  const auto parts = sections(sample_findings());
  REQUIRE(parts.size() == 6);
  for (const Section& part : parts)
    for (const Row& row : part.rows) {
      CAPTURE(row.name, row.value);
      CHECK(std::regex_match(row.value, with_unit));
      CHECK_FALSE(row.meaning.empty());
    }
  for (const auto& row : toe_grid(sample_findings()).rows)
    for (std::size_t c = 1; c < row.size(); ++c) CHECK(std::regex_match(row[c], with_unit));
}

TEST_CASE("Words follow the sign", "[report][table]") {
  findings::Findings f = sample_findings();
  CHECK(has(find(sections(f), "depth_mm")->meaning, "hung up"));
  CHECK(has(find(sections(f), "side_roll_deg")->meaning, "lateral"));
  CHECK(find(sections(f), "side_roll_deg")->value == "-1.8 deg");
  f.depth_mm = 2.04;
  f.side_roll_deg = 0.04;
  f.plumb.margin_mm = -1;
  CHECK(find(sections(f), "depth_mm")->value == "+2.0 mm");
  CHECK_FALSE(has(find(sections(f), "depth_mm")->meaning, "hung up"));
  CHECK(find(sections(f), "side_roll_deg")->value == "0.0 deg");
  CHECK(has(find(sections(f), "plumb.margin_mm")->meaning, "does not get over"));
  f.twist_deg = -0.04;
  CHECK(find(sections(f), "twist_deg")->value == "0.0 deg");
}

TEST_CASE("A finding that does not apply makes no row", "[report][table]") {
  findings::Findings f = sample_findings();
  CHECK(find(sections(f), "toe_room_mm") == nullptr);
  f.toe_room_mm = 3;
  CHECK(find(sections(f), "toe_room_mm") != nullptr);
  f.break_point = {};
  CHECK(find(sections(f), "break_point")->value == "none");
  f.goes_in = false;
  CHECK(find(sections(f), "goes_in")->value == "no");
  CHECK(has(table(f), "heel is still outside its seat"));
}

TEST_CASE("Friction bands stand beside their finding, smaller end first", "[report][table]") {
  findings::Findings f = sample_findings();
  CHECK(find(sections(f), "depth_mm")->band == "-3.3 to -1.8 mm");
  CHECK(find(sections(f), "peak_kPa")->band == "310 to 355 kPa");
  f.friction_band = std::vector<findings::Findings::Band>{{"peak_kPa", 355, 310}};
  CHECK(find(sections(f), "peak_kPa")->band == "310 to 355 kPa");
  CHECK(find(sections(f), "depth_mm")->band == "");
  f.friction_band = std::vector<findings::Findings::Band>{{"sink_mm", 5.51, 5.46}};
  CHECK(find(sections(f), "sink_mm")->band == "unchanged");
  f.friction_band.reset();
  CHECK(find(sections(f), "peak_kPa")->band == "");
}

TEST_CASE("The table says what it rests on, limits and cautions", "[report][table]") {
  const std::string text = table(sample_findings());
  for (const char* words :
       {"RIGHT foot, full pointe on two feet", "255 N", "converged", "0123456789abcdef", "0.1.0", "Toe by toe",
        "100.0 %", "twist cannot be shown", "never a clearance to dance on pointe", "numbness"})
    CHECK(has(text, words));
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    CAPTURE(line);
    CHECK(line.size() <= 120);
    CHECK((line.empty() || line.back() != ' '));
  }
}

TEST_CASE("Not converged: the reason, no findings", "[report][table]") {
  const std::string text = table(stopped_findings());
  CHECK(has(text, "not converged: the load step fell below 1/64 at 160 N"));
  CHECK(has(text, "No findings"));
  CHECK(has(text, "never a clearance"));
  CHECK_FALSE(has(text, "Sink"));
  CHECK_FALSE(has(text, "kPa"));
  CHECK(sections(stopped_findings()).empty());
  CHECK(toe_grid(stopped_findings()).rows.empty());
  CHECK(region_grid(stopped_findings()).rows.empty());
  findings::Findings too_long = stopped_findings();
  too_long.goes_in = false;
  CHECK(has(table(too_long), "Does not go in"));
  CHECK_FALSE(has(text, "Does not go in"));
}

TEST_CASE("Bands stand in a column of their own, apart from the friction band", "[report][table]") {
  const findings::Findings f = doubtful_findings();
  const auto parts = sections(f);
  CHECK(find(parts, "depth_mm")->doubt == "[-5.5 .. -1.3]");
  CHECK(find(parts, "depth_mm")->band == "-3.3 to -1.8 mm");
  CHECK(find(parts, "peak_kPa")->doubt == "~[250 .. 390]");  // plain quantiles are marked
  CHECK(find(parts, "sink_mm")->doubt == "[not known]");     // asked for, and not had
  CHECK(find(sections(sample_findings()), "depth_mm")->doubt.empty());
  CHECK(find(parts, "")->doubt.empty());  // a sum has none
  const std::string text = table(f);
  CHECK(has(text, "The band of depth comes mostly from friction of skin on the lining, a guess (55 %)."));
  CHECK(has(text, "2 of 128 runs found no place of rest"));
  CHECK(has(text, "9 in 10 of the values that are plausible"));
  CHECK_FALSE(has(table(sample_findings()), "How sure"));
}

TEST_CASE("Every number of the toes has the band of its own key", "[report][table]") {
  findings::Findings f = sample_findings();
  CHECK(toe_grid(f).doubts.empty());
  f.doubts.emplace();
  for (const findings::NamedNumber& number : findings::named_numbers(f)) {
    if (!number.value) continue;
    findings::Doubt doubt;
    doubt.key = number.key;
    doubt.low = doubt.high = *number.value;
    f.doubts->bands.push_back(doubt);
  }
  const Grid grid = toe_grid(f);
  REQUIRE(grid.doubts.size() == grid.rows.size());
  for (std::size_t toe = 0; toe < grid.rows.size(); ++toe) {
    REQUIRE(grid.doubts[toe].size() == grid.columns.size());
    for (std::size_t c = 1; c < grid.columns.size(); ++c) {
      const std::string number = grid.rows[toe][c].substr(0, grid.rows[toe][c].find(' '));
      CAPTURE(toe, grid.columns[c]);
      CHECK(grid.doubts[toe][c] == (number == "-" ? "" : "~[" + number + " .. " + number + "]"));
    }
  }
}

TEST_CASE("The numbers that move a finding most stand first, by what a maker would change", "[report][table]") {
  const Grid grid = gradient_grid(steered_findings());
  REQUIRE(grid.rows.size() == 7);
  using Cells = std::vector<std::string>;
  CHECK(grid.rows[0] == Cells{"Depth                       toes.second.length_mm + 1 mm", "-0.75 mm"});
  CHECK(grid.rows[1] == Cells{"Depth                       ball_breadth_mm + 1 mm", "+0.50 mm"});
  CHECK(grid.rows[2] == Cells{"Depth                       load_N + 10 %", "+0.25 mm"});  // 25 N
  CHECK(grid.rows[3] == Cells{"Crowding, % of breadth      ball_breadth_mm + 1 mm", "-0.20 points"});
  CHECK(grid.rows[4] == Cells{"Peak pressure               load_N + 10 %", "+6.3 kPa"});
  CHECK(has(table(steered_findings()), "What moves it most"));
  CHECK(gradient_grid(sample_findings()).rows.empty());
}

TEST_CASE("Of a foot that does not go in, without a balance, the table says why", "[report][table]") {
  findings::Findings f = sample_findings();
  f.converged = f.goes_in = false;
  f.reason = "the little toe stays outside the box";
  CHECK(has(table(f), "Does not go in: the little toe stays outside the box. No other findings."));
  f.goes_in = true;
  CHECK_FALSE(has(table(f), "Does not go in"));
  CHECK(has(table(f), "found no place of rest"));
}

TEST_CASE("A foot that does not go in has no break and no balance, but the room that it lacks", "[report][table]") {
  findings::Findings f = sample_findings();
  f.goes_in = false;
  f.toe_room_mm = -12;
  const auto parts = sections(f);
  REQUIRE(find(parts, "toe_room_mm") != nullptr);
  CHECK(find(parts, "toe_room_mm")->value == "-12.0 mm");
  CHECK(has(find(parts, "goes_in")->meaning, "numbers are of it held there"));
  CHECK(find(parts, "peak_kPa") != nullptr);
  for (const char* const key : {"break_point.apex_offset_mm", "plumb.margin_mm", "side_roll_deg"}) {
    CHECK(find(sections(sample_findings()), key) != nullptr);
    CHECK(find(parts, key) == nullptr);
  }
}
