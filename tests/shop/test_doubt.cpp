// What is not known of the feet, in points, by hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "feet.h"

using namespace aplomb;
using namespace aplomb::shop;
using namespace aplomb::shop::test;

TEST_CASE("A solved finding puts two shoes in doubt where it costs the one and not the other", "[doubt]") {
  const Rules rules =
      need(parse_rules("format = \"aplomb-rules\"\nformat_version = 1\n[[rule]]\nid = \"short\"\n"
                       "finding = \"wing_cover.lateral_mm\"\nposition = \"full-pointe-two\"\nop = \"<\"\nvalue = 7\n"
                       "unit = \"mm\"\nstep = 2\ngrade = \"change\"\ncause = \"a short wing\"\ntry = []\n",
                       "r.toml"));
  const auto standing = [](double cover_mm) {
    Answers answers;
    answers[by_measure] = {true, "", true, {}};
    answers["full-pointe-two"] = {true, "", true, {{"wing_cover.lateral_mm", cover_mm}}};
    return Standing{0, 0, true, true, "", {answers, answers}};
  };
  const std::vector<Wearer> wearers = {right_sample(), left_sample()};
  // A millimetre either way: half a point for the short wing on each foot, none for the long one.
  CHECK(doubt(rules, wearers, standing(3), standing(12)) == Approx(std::sqrt(2.0) / 2));
  // It moves two short wings alike.
  CHECK(doubt(rules, wearers, standing(3), standing(4)) == Approx(0).margin(1e-12));
  CHECK(doubt(rules, wearers, standing(11), standing(12)) == 0);
  // A long wing that a millimetre may make too short counts for what it then lacks.
  CHECK(doubt(rules, wearers, standing(7.4), standing(12)) == Approx(std::sqrt(2.0) * 0.3));
}
