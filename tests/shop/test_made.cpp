// Which findings a position makes, as rules are told, against stands.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "aplomb/shop/solver.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::shop;
using namespace aplomb::shop::test;

TEST_CASE("Every stand makes the findings that its position is said to make, and no others", "[made]") {
  const auto shoe = need(shoe::read_shoe(source_data::shoe_file("tapered")));
  const Solve solve = stand_solver({}, {}, {});
  for (const std::string& position : stance::position_names()) {
    const Solved stood = need(solve(right_sample().foot, shoe, position));
    REQUIRE(stood.converged);
    for (const ValueName& name : solved_names()) {
      CAPTURE(position, name.name);
      const bool made = stood.values.contains(name.name);
      // A gap to the crown is made where the joint lies under it, which is up to the shoe.
      CHECK((name.name.starts_with("crown_gap_mm.") && !made ? true : made == made_in(name.name, position)));
    }
  }
}
