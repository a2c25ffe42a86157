// The numbers of a foot in words: names, units, bands, sources, what is surprising.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <regex>
#include <set>
#include <sstream>

#include "aplomb/foot/numbers.h"
#include "aplomb/report/foot_rows.h"
#include "extreme_feet.h"

using namespace aplomb;
using namespace aplomb::report;
using namespace aplomb::report::test;
using Catch::Contains;

namespace {

/// An invented foot of four numbers, chosen to be told apart.
foot::Foot four_numbers() {
  foot::Foot foot;
  foot.side = foot::Side::left;
  foot.length_mm = 238;
  foot.measurements["foot_length_mm"] = {238.04, 0.7, "card"};
  foot.measurements["arch_height_mm"] = {41.26, 5, "prior"};
  foot.measurements["mass_kg"] = {52, 0, "card"};
  foot.measurements["toes.second.bend_deg"] = {0, 5, "prior"};
  foot.residual["foot_length_mm"] = 0.04;
  return foot;
}

const FootRow& row_of(const std::vector<FootSection>& sections, const std::string& key) {
  for (const FootSection& section : sections)
    for (const FootRow& row : section.rows)
      if (row.key == key) return row;
  FAIL("no row " + key);
  return sections.front().rows.front();
}

}  // namespace

TEST_CASE("A row has name, value, unit, half of the 90 % band, source and what the fit moved", "[report][foot-rows]") {
  const auto sections = foot_sections(four_numbers(), {});
  const FootRow& length = row_of(sections, "foot_length_mm");
  CHECK(length.name == "Foot length");
  CHECK(length.with_band() == "238.0 \u00b1 1.2 mm");  // 0.7 mm x 1.645: 95 % point of the normal distribution
  CHECK(length.source == "card");
  CHECK(length.measured());
  CHECK(length.against_card == "0.0");
  const FootRow& arch = row_of(sections, "arch_height_mm");
  CHECK(arch.with_band() == "41.3 \u00b1 8.2 mm");
  CHECK_FALSE(arch.measured());
  CHECK(arch.against_card.empty());
  CHECK(row_of(sections, "mass_kg").with_band() == "52.0 kg");
  CHECK(row_of(sections, "toes.second.bend_deg").name == "Second, bend");
  CHECK(sources_counted(sections) == "2 numbers from the card, 2 from the prior");
  CHECK(foot_heading(four_numbers()) == "LEFT foot");
}

TEST_CASE("Every number has a name and a unit of its own, and a place in the table", "[report][foot-rows]") {
  std::set<std::string> names;
  foot::Foot foot;
  for (int i = 0; i < foot::number_count; ++i) {
    names.insert(number_name(i));
    CHECK(std::set<std::string>{"mm", "deg", "kg", "years"}.count(number_unit(i)) == 1);
    foot.measurements[foot::number_table()[i].key] = {1, 1, "card"};
  }
  CHECK(names.size() == foot::number_count);
  std::set<int> placed;
  for (const FootSection& section : foot_sections(foot, {}))
    for (const FootRow& row : section.rows) placed.insert(row.number);
  CHECK(placed.size() == foot::number_count);
}

TEST_CASE("A surprising number is told in words, up and down, a usual one is not", "[report][foot-rows]") {
  const auto remark = [](double sds) {
    const foot::Surprise surprise{.number = foot::arch_height, .value = 42 + 5 * sds, .expected = 42, .sd = 5};
    return row_of(foot_sections(four_numbers(), {surprise}), "arch_height_mm").remark;
  };
  CHECK(remark(1.9).empty());
  CHECK_THAT(remark(2.4), Contains("unusual: 2.4 SD above the 42.0 mm"));
  CHECK_THAT(remark(-3.1), Contains("unusual: 3.1 SD below the 42.0 mm"));
}

TEST_CASE("The table of every foot is aligned, at most 110 columns, and ends with what the prior is",
          "[report][foot-rows]") {
  for (const NamedFoot& one : extreme_feet()) {
    CAPTURE(one.name);
    const auto sections = foot_sections(one.foot, {{foot::foot_breadth, 101, 88, 4}});
    const std::string table = foot_table(foot_heading(one.foot) + " from card.toml", sections,
                                         foot_notes(one.foot, source_data::prior(), foot::Load::standing));
    std::istringstream lines(table);
    std::set<std::size_t> ends_of_source;
    for (std::string line; std::getline(lines, line);) {
      CAPTURE(line);
      CHECK(std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xC0) != 0x80; }) <= 110);
      CHECK((line.empty() || line.back() != ' '));
      for (const char* source : {"  card", "  prior"})
        if (line.starts_with("  ") && line.find("_mm ") != std::string::npos &&
            line.find(source, 60) != std::string::npos)
          ends_of_source.insert(line.find(source, 60));
    }
    CHECK(ends_of_source.size() == 1);
    // Notes wrap where the table ends.
    const std::string words = std::regex_replace(table, std::regex("\\s+"), " ");
    CHECK_THAT(words, Contains("from the prior") && Contains("ANSUR II") && Contains("no dancers") &&
                          Contains("unusual: 3.2 SD above the 88.0 mm") &&
                          Contains("never a clearance to dance on pointe"));
  }
}

TEST_CASE("A foot beyond the survey's lengths is told so", "[report][foot-rows]") {
  const auto notes = [](double length_mm, foot::Load load = foot::Load::standing) {
    foot::Foot foot;
    foot.length_mm = length_mm;
    return foot_notes(foot, source_data::prior(), load);
  };
  CHECK(notes(240).size() == 1);
  REQUIRE(notes(180).size() == 2);
  CHECK_THAT(notes(180)[1], Contains("shorter than nearly all feet of the survey"));
  REQUIRE(notes(300).size() == 2);
  CHECK_THAT(notes(300)[1], Contains("longer than nearly all feet of the survey"));
  REQUIRE(notes(240, foot::Load::none).size() == 2);
  CHECK_THAT(notes(240, foot::Load::none)[1], Contains("without weight"));
  CHECK_THAT(notes(240, foot::Load::full)[1], Contains("under all her weight"));
}
