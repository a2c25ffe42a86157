// A change that sets one thing right and spoils another, on findings made by hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "aplomb/shop/compare.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::shop;
using namespace aplomb::shop::test;

namespace {

/// A short wing, and toes that are crowded from 0.05 on at `step` a point.
Rules wing_and_crowding(double step, const char* grade_of_crowding) {
  return need(parse_rules(
      fmt::format(
          "format = \"aplomb-rules\"\nformat_version = 1\n[[rule]]\nid = \"short\"\nfinding = "
          "\"wing_cover.lateral_mm\"\n"
          "position = \"full-pointe-two\"\nop = \"<\"\nvalue = 7\nunit = \"mm\"\nstep = 1\ngrade = \"change\"\ncause = "
          "\"a short wing\"\ntry = [{{ change = \"lateral_wing_higher\", by = 4 }}]\n[[rule]]\nid = \"crowded\"\n"
          "finding = \"crowding_index\"\nposition = \"full-pointe-two\"\nop = \">\"\nvalue = 0.05\nunit = \"share\"\n"
          "step = {}\ngrade = \"{}\"\ncause = \"crowded toes\"\ntry = []\n",
          step, grade_of_crowding),
      "r.toml"));
}

shoe::ShoeParameters sample_shoe() { return need(shoe::read_shoe(source_data::shoe_file("parallel"))); }

/// The cover lacks 4 mm and follows the wing; 4 mm more of it take crowding from `crowding` to 0.06.
Solve solve_with(double crowding) {
  return [crowding, first = sample_shoe().wing_lateral_mm](const FootPtr&, const shoe::ShoeParameters& shoe,
                                                           const std::string&) {
    const double longer = shoe.wing_lateral_mm - first;
    return io::Result<Solved>(
        Solved{true,
               "",
               true,
               {{"wing_cover.lateral_mm", 3 + longer}, {"crowding_index", crowding + (0.06 - crowding) * longer / 4}}});
  };
}

Advice advice_with(const Rules& rules, double crowding) {
  Memory memory(solve_with(crowding), "m");
  return need(advise(right_sample(), sample_shoe(), rules, memory, {}));
}

}  // namespace

TEST_CASE("A change that raises what was not raised is offered only where that is little against what it mends",
          "[spoils]") {
  // 4 points off the wing. Crowding newly raised by 0.01 costs 0.5 points, or 1.
  CHECK(advice_with(wing_and_crowding(0.02, "change"), 0.02).offers.size() == 1);
  const Advice dear = advice_with(wing_and_crowding(0.01, "change"), 0.02);
  CHECK(dear.offers.empty());
  REQUIRE(dear.declined.size() == 1);
  CHECK(dear.declined[0].reason == "solved again, crowded toes");
  // Toes that were crowded before are no new fault.
  CHECK(advice_with(wing_and_crowding(0.01, "change"), 0.055).offers.size() == 1);
  // A worse grade is never raised for a better one, however little it costs.
  CHECK(advice_with(wing_and_crowding(0.5, "unsuitable"), 0.02).offers.empty());
}

TEST_CASE("What a shelf lacks is not made good by what spoils something else", "[spoils]") {
  CompareInputs inputs{left_sample(), right_sample(), "b", {}, wing_and_crowding(0.02, "change")};
  inputs.stock.items = shelf({240}, {90}, {2.0}, 2);
  inputs.stock.items.erase(inputs.stock.items.begin());  // the parallel design is the one solved for
  inputs.stock.items[0].shoe = sample_shoe();
  const auto lack_of = [&](const char* grade, double step) {
    inputs.rules = wing_and_crowding(step, grade);
    Memory memory(solve_with(0.02), "m");
    const Comparison compared = need(compare(inputs, memory, {}));
    REQUIRE_FALSE(compared.lacks.empty());
    return compared.lacks[0];
  };
  const Lack little = lack_of("change", 0.02);
  CHECK(little.turns);
  REQUIRE(little.offer);
  CHECK(little.offer->attempt.by == 4);
  CHECK(little.words.find("mm; limit 7 mm)") != std::string::npos);
  const Lack dear = lack_of("change", 0.01);
  CHECK_FALSE(dear.offer);
  CHECK(dear.words.find("none of the changes that were solved helps and spoils nothing else") != std::string::npos);
}

TEST_CASE("A change that does not help one rule is still tried for the next", "[spoils]") {
  // Wings 4 mm longer take the crowding, which is the dearer, from 0.02 to 0.06 and the cover's lack away.
  const auto rule = [](const char* id, const char* finding, const char* op, double value, const char* unit,
                       double step) {
    return fmt::format(
        "[[rule]]\nid = \"{}\"\nfinding = \"{}\"\nposition = \"full-pointe-two\"\nop = \"{}\"\nvalue = {}\n"
        "unit = \"{}\"\nstep = {}\ngrade = \"change\"\ncause = \"{}\"\ntry = [{{ change = "
        "\"lateral_wing_higher\", by = 4 }}]\n",
        id, finding, op, value, unit, step, id);
  };
  const Rules both = need(parse_rules("format = \"aplomb-rules\"\nformat_version = 1\n" +
                                          rule("crowded", "crowding_index", ">", 0.01, "share", 0.001) +
                                          rule("short", "wing_cover.lateral_mm", "<", 7, "mm", 1),
                                      "r.toml"));
  // Crowding is as it was, ten points of it, and the cover 4.
  const Advice given = advice_with(both, 0.06);
  REQUIRE(given.raised.size() == 2);
  CHECK(given.raised[0].rule->id == "crowded");
  REQUIRE(given.offers.size() == 1);
  CHECK(given.offers[0].rule == "short");
  CHECK(given.declined.empty());
}

TEST_CASE("A change after which the foot does not go in is declined", "[spoils]") {
  const double first = sample_shoe().wing_lateral_mm;
  Memory memory(
      [&](const FootPtr&, const shoe::ShoeParameters& shoe, const std::string&) {
        const double longer = shoe.wing_lateral_mm - first;
        return io::Result<Solved>(
            Solved{true, "", longer == 0, {{"wing_cover.lateral_mm", 3 + longer}, {"crowding_index", 0.0}}});
      },
      "m");
  const Advice given = need(advise(right_sample(), sample_shoe(), wing_and_crowding(0.02, "change"), memory, {}));
  CHECK(given.offers.empty());
  REQUIRE(given.declined.size() == 1);
  CHECK(given.declined[0].reason == "the foot does not go in, full-pointe-two");
}
