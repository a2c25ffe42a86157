// How much of a change is enough, on findings whose crossing follows from the shoe's number by hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <atomic>
#include <catch2/catch.hpp>

#include "aplomb/shop/amount.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::shop;
using namespace aplomb::shop::test;

namespace {

shoe::ShoeParameters sample_shoe() { return need(shoe::read_shoe(source_data::shoe_file("parallel"))); }

Rules rule_of(const std::string& finding, const std::string& position, const std::string& op, double value,
              const std::string& unit, const std::string& tries) {
  return need(parse_rules(
      fmt::format(
          "format = \"aplomb-rules\"\nformat_version = 1\n[[rule]]\nid = \"r\"\nfinding = \"{}\"\nposition = "
          "\"{}\"\nop = \"{}\"\nvalue = {}\nunit = \"{}\"\nstep = 1\ngrade = \"change\"\ncause = \"words\"\ntry "
          "= [{}]\n",
          finding, position, op, value, unit, tries),
      "r.toml"));
}

/// Amount for the first try of the only rule, answers made by `solve`.
std::optional<Amount> amount_for(const Rules& rules, const Solve& solve, int* solves = nullptr) {
  Memory memory(solve, "m");
  const auto amount = need(least_amount(right_sample(), sample_shoe(), rules.rules[0], rules.rules[0].tries[0], rules,
                                        memory, AdviseOptions{}));
  if (solves != nullptr) *solves = memory.solved();
  return amount;
}

/// Wing cover that follows the wing one for one.
Solve cover(double at_first) {
  return [at_first, first = sample_shoe().wing_lateral_mm](const FootPtr&, const shoe::ShoeParameters& shoe,
                                                           const std::string&) {
    return io::Result<Solved>(
        Solved{true, "", true, {{"wing_cover.lateral_mm", at_first + shoe.wing_lateral_mm - first}}});
  };
}

}  // namespace

TEST_CASE("The least amount is the way to the threshold, rounded up to what is told", "[amount]") {
  for (const double start : {1.0, 4.0, 25.0})
    for (const double lacking : {0.3, 1.2, 3.26, 4.0, 9.9, 24.4}) {
      CAPTURE(start, lacking);
      const auto rules = rule_of("wing_cover.lateral_mm", "full-pointe-two", "<", 7, "mm",
                                 fmt::format("{{ change = \"lateral_wing_higher\", by = {} }}", start));
      int solves = 0;
      const auto amount = amount_for(rules, cover(7 - lacking), &solves);
      REQUIRE(amount);
      CHECK(amount->turns);
      // At least 1 mm, the least that the change has.
      CHECK(amount->attempt.by == std::max(1.0, std::ceil(2 * lacking - 1e-9) / 2));
      CHECK(amount->after == Approx(7 - lacking + amount->attempt.by));
      CHECK(solves <= 12);  // doubling and halving among fifty steps
    }
}

TEST_CASE("What is not enough at its most is told as not enough", "[amount]") {
  const auto rules =
      rule_of("wing_cover.lateral_mm", "full-pointe-two", "<", 7, "mm", "{ change = \"lateral_wing_higher\", by = 6 }");
  const auto amount = amount_for(rules, cover(7 - 40));
  REQUIRE(amount);
  CHECK_FALSE(amount->turns);
  CHECK(amount->after < 7);
  // A foot that loses its balance is no answer, however far the finding is past its threshold.
  const auto falls = [](const FootPtr&, const shoe::ShoeParameters&, const std::string&) {
    return io::Result<Solved>(Solved{false, "falls", true, {}});
  };
  CHECK_FALSE(amount_for(rules, falls));
  // A change that cannot be made at all: the shoe's elastic has less to give than the least step.
  auto loose = sample_shoe();
  loose.elastic_N = 0.2;
  const auto slack = rule_of("heel_slack_mm", "on-box", "<", 5, "mm", "{ change = \"elastic_looser\", by = 6 }");
  Memory memory(cover(0), "m");
  CHECK_FALSE(need(least_amount(right_sample(), loose, slack.rules[0], slack.rules[0].tries[0], slack, memory, {})));
}

TEST_CASE("More than can be made is not asked, and less than was begun with is", "[amount]") {
  // Elastic of 4 N that holds the heel the better the looser it is, as far as the shoe has some to give.
  const auto slack = [](double least_loosening) {
    return [least_loosening](const FootPtr&, const shoe::ShoeParameters& shoe, const std::string&) {
      return io::Result<Solved>(Solved{true, "", true, {{"heel_slack_mm", 5 + 4 - least_loosening - shoe.elastic_N}}});
    };
  };
  auto shoe = sample_shoe();
  shoe.elastic_N = 4;
  for (const auto& [begun, lacking] : {std::pair{6.0, 2.3}, {1.0, 3.3}, {2.0, 3.3}}) {
    CAPTURE(begun, lacking);
    const auto rules = rule_of("heel_slack_mm", "on-box", "<", 5, "mm",
                               fmt::format("{{ change = \"elastic_looser\", by = {} }}", begun));
    Memory memory(slack(lacking), "m");
    const auto amount =
        need(least_amount(right_sample(), shoe, rules.rules[0], rules.rules[0].tries[0], rules, memory, {}));
    REQUIRE(amount);
    CHECK(amount->turns);
    CHECK(amount->attempt.by == Approx(std::ceil(2 * lacking) / 2));
  }
}

TEST_CASE("Factors count from one, a cut shank from its whole length, lengths by whole sizes", "[amount]") {
  const auto gap = [](double per_EI) {
    return [per_EI](const FootPtr&, const shoe::ShoeParameters& shoe, const std::string&) {
      return io::Result<Solved>(Solved{true, "", true, {{"way_down.shank_gap_mm", per_EI * shoe.shank_EI_Nm2}}});
    };
  };
  const auto soft =
      rule_of("way_down.shank_gap_mm", "roll-down", ">", 20, "mm", "{ change = \"softer_shank\", by = 2 }");
  // 20 mm at 1/1.37 of its stiffness: told as 1.4.
  const auto softer = amount_for(soft, gap(20 * 1.37 / sample_shoe().shank_EI_Nm2));
  REQUIRE(softer);
  CHECK(softer->turns);
  CHECK(softer->attempt.by == Approx(1.4));

  const auto shank = [](const FootPtr&, const shoe::ShoeParameters& shoe, const std::string&) {
    const double share = shoe.shank_length_mm / (shoe.inner_length_mm - shoe.sole_edge_mm);
    return io::Result<Solved>(Solved{true, "", true, {{"way_down.shank_gap_mm", 100 * share}}});
  };
  const auto cut =
      rule_of("way_down.shank_gap_mm", "roll-down", ">", 63, "mm", "{ change = \"three_quarter_shank\", by = 0.75 }");
  const auto shorter = amount_for(cut, shank);
  REQUIRE(shorter);
  CHECK(shorter->turns);
  CHECK(shorter->attempt.by == Approx(0.6));  // the longest step of a twentieth that is under 0.63

  const auto by_length = rule_of("spare_length_mm", "measure", ">", 1.5, "mm", "{ change = \"shorter\", by = 10 }");
  auto long_shoe = sample_shoe();
  const double spare = measure(*right_sample().foot, long_shoe).at("spare_length_mm");
  long_shoe = need(altered(long_shoe, {"longer", 8 - spare}, foot::Side::right));  // 8 mm to spare, 6.5 too many
  Memory memory(cover(0), "m");
  const auto sizes = need(
      least_amount(right_sample(), long_shoe, by_length.rules[0], by_length.rules[0].tries[0], by_length, memory, {}));
  REQUIRE(sizes);
  CHECK(sizes->turns);
  CHECK(sizes->attempt.by == 10);
  CHECK(memory.solved() == 0);  // by measure alone
}
