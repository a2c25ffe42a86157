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

TEST_CASE("A number that is measured, or holds a rule back, puts shoes in doubt by the SD of its measurement",
          "[doubt]") {
  const auto rules = [](const std::string& when) {
    return need(
        parse_rules("format = \"aplomb-rules\"\nformat_version = 1\n[[rule]]\nid = \"heel\"\n"
                    "finding = \"spare_heel_mm\"\nposition = \"measure\"\nop = \">\"\nvalue = 7\n"
                    "unit = \"mm\"\nstep = 2\ngrade = \"change\"\ncause = \"it slips\"\ntry = []\n" +
                        when,
                    "r.toml"));
  };
  const auto standing = [](double spare_heel_mm, double pointing_deg) {
    Answers answers;
    answers[by_measure] = {true, "", true, {{"spare_heel_mm", spare_heel_mm}, {"foot.pointing_deg", pointing_deg}}};
    return Standing{0, 0, true, true, "", {answers}};
  };
  const std::vector<Wearer> wearers = {right_sample()};
  const auto sd = [&](const char* number) { return wearers[0].foot->measurements.at(number).sd; };
  CHECK(doubt(rules(""), wearers, standing(11, 80), standing(0, 80)) == Approx(sd("heel_breadth_mm") / 2));
  // Two points that a rule may no longer count, by a foot that may point past its condition.
  const Rules held =
      rules("[[rule.when]]\nfinding = \"foot.pointing_deg\"\nposition = \"measure\"\nop = \">\"\nvalue = 80\n");
  const double points = (11 - 7) / 2.0, moved = sd("heel_breadth_mm") / 2;
  CHECK(doubt(held, wearers, standing(11, 80.1), standing(0, 80.1)) == Approx(std::hypot(points, moved)));
  CHECK(doubt(held, wearers, standing(11, 80 + 2 * sd("plantarflexion_deg")), standing(0, 0)) == Approx(moved));
}
