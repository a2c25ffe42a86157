// What the findings say of one view and of two, and in which unit.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <regex>

#include "aplomb/io/files.h"
#include "aplomb/report/rows.h"
#include "app_program.h"
#include "viewer/words.h"

using namespace aplomb;
using namespace aplomb::viewer;
using test::Program;

namespace {

int with_id(Program& program, const std::string& begins) {
  int count = 0;
  for (const ScreenItem& one : program.app().record().items) count += one.id.starts_with(begins) ? 1 : 0;
  return count;
}

}  // namespace

TEST_CASE("in inches no length of the screen is left in millimetres", "[app_findings]") {
  Program program;
  const auto lengths_in = [&](const char* unit) {
    const std::regex length("[0-9] " + std::string(unit) + "\\b");
    std::vector<std::string> found;
    for (const ScreenItem& one : program.app().record().items)
      if (std::regex_search(one.text, length)) found.push_back(one.id + ": " + one.text);
    return found;
  };
  CHECK(lengths_in("mm").size() > 10);
  CHECK(lengths_in("in").empty());
  program.screen().document.look.inches = true;
  program.frame();
  const auto left = lengths_in("mm");
  CAPTURE(left);
  CHECK(left.empty());
  CHECK(lengths_in("in").size() > 10);
}

TEST_CASE("regions are told, of both feet where there are two, and each view by its side", "[app_findings]") {
  Program program;
  program.app().set_position(stance::Position::full_pointe_two);
  program.settle();
  const auto regions = [&](std::size_t seat) {
    return static_cast<int>(report::region_grid(*program.screen().seats[seat].told).rows.size());
  };
  REQUIRE(regions(0) > 3);
  CHECK(with_id(program, "regions.") == regions(0));
  CHECK(program.words("regions.hallux").find("peak ") == 0);
  CHECK(program.words("regions.hallux").find(" kPa, mean ") != std::string::npos);
  CHECK(with_id(program, "findings.views") == 0);
  CHECK(program.words("findings.title") == "Findings, right foot");

  program.seat(1) = program.seat(0);
  program.seat(1).shoe.changes["ball_breadth_mm"] = 86;
  const auto left = source_data::meshes() / "feet/sample_left.toml";
  program.seat(1).foot = {left.string(), io::read_file(left).value()};
  program.screen().document.subject.side_by_side = true;
  program.settle();
  CHECK(program.words("findings.views") == "First view: right foot; second view: left foot");
  CHECK(program.words("seat.0") == "First: right foot");
  CHECK(program.words("seat.1") == "Second: left foot");
  CHECK(with_id(program, "regions.1.") == regions(1));
  CHECK(with_id(program, "regions.") == regions(0) + regions(1));

  // A first shoe that cannot be read takes nothing from the second.
  program.seat(0).shoe.text = "nothing";
  program.settle();
  CHECK(with_id(program, "finding.1.") > 10);
  CHECK(with_id(program, "regions.1.") == regions(1));
  CHECK(with_id(program, "findings.error") == 1);
}

TEST_CASE("a finding's number is told with its value and its unit", "[app_findings]") {
  Program program;
  program.app().set_position(stance::Position::full_pointe_two);
  program.settle();
  int numbers = 0;
  for (const ScreenItem& one : program.app().record().items) {
    if (!one.id.starts_with("finding.") || !one.value) continue;
    ++numbers;
    CAPTURE(one.id, one.text, one.unit);
    CHECK(std::abs(*one.value - std::stod(one.text)) < 1e-9);
    CHECK(one.text.ends_with(one.unit));
  }
  CHECK(numbers > 15);
}

TEST_CASE("every column of the toes and every height has its words", "[app_findings]") {
  for (const std::string& position : stance::position_names()) {
    Program program;
    program.app().set_position(*stance::position_named(position));
    program.settle();
    const findings::Findings& told = *program.screen().seats[0].told;
    CAPTURE(position);
    const auto explained = [](const std::string& begin, const report::Grid& grid, std::size_t from) {
      for (std::size_t c = from; c < grid.columns.size(); ++c) {
        CAPTURE(grid.columns[c]);
        CHECK_FALSE(finding_words(begin + grid.columns[c]).empty());
      }
    };
    explained("toes.", report::toe_grid(told), 1);
    explained("height.", report::heights_grid("", {}), 0);
    for (const report::Row& row : report::basis(told)) {
      CAPTURE(row.key);
      CHECK_FALSE(finding_words(row.key).empty());
    }
    for (const report::Section& section : report::sections(told))
      for (const report::Row& row : section.rows) {
        CAPTURE(row.name);
        CHECK_FALSE((row.meaning.empty() && finding_words(row.key).empty()));
      }
  }
}
