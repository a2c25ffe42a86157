// What the findings say of one view and of two, and in which unit.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <regex>

#include "aplomb/report/rows.h"
#include "app_program.h"

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

  program.seat(1) = program.seat(0);
  program.seat(1).shoe.changes["ball_breadth_mm"] = 86;
  program.screen().document.subject.side_by_side = true;
  program.settle();
  CHECK(program.words("findings.views") == "First view: right foot; second view: right foot");
  CHECK(with_id(program, "regions.1.") == regions(1));
  CHECK(with_id(program, "regions.") == regions(0) + regions(1));

  // A first shoe that cannot be read takes nothing from the second.
  program.seat(0).shoe.text = "nothing";
  program.settle();
  CHECK(with_id(program, "finding.1.") > 10);
  CHECK(with_id(program, "regions.1.") == regions(1));
  CHECK(with_id(program, "findings.error") == 1);
}
