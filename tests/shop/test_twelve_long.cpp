// The twelve feet as the product advises them, in every position and with every try, and how the best of a shelf fares
// when cards are a little off.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cstdio>

#include "aplomb/shop/compare.h"
#include "expectations.h"

using namespace aplomb;
using namespace aplomb::shop;
using namespace aplomb::shop::test;

namespace {

/// Costs of every item on two feet, solved whole.
std::map<int, Standing> costs(const std::vector<Wearer>& wearers, const std::vector<StockItem>& items, Memory& memory) {
  SearchOptions options;
  options.exhaustive = true;
  std::map<int, Standing> all;
  for (const Standing& one : need(search(wearers, items, house_rules(), memory, options)).ranking) all[one.item] = one;
  return all;
}

int best_of(const std::map<int, Standing>& costs) {
  return std::min_element(costs.begin(), costs.end(),
                          [](const auto& a, const auto& b) { return a.second.cost < b.second.cost; })
      ->first;
}

}  // namespace

TEST_CASE("Twelve feet in every position: the advice expected, and not where it would be wrong", "[.][long][twelve]") {
  static Memory memory(stand_solver({}, {}, {}), "twelve");
  static const bool kept = keep(memory, "twelve");
  static_cast<void>(kept);
  for (const Expectation& expected : expectations()) DYNAMIC_SECTION(expected.name) {
      const Advice given = advice_for(memory, expected.name, "foot.toml", {});
      fmt::print("result: {}: {}\n", expected.name, told(given));
      std::fflush(stdout);
      if (expected.name == "uneven_feet")
        check_declined(expected, given, "on one foot she stands deep in the box");  // README.md says why
      else
        check_offers(expected, given);
      const Advice other = advice_for(memory, expected.name, "otherwise.toml", {});
      fmt::print("result: {}, otherwise: {}\n", expected.name, told(other));
      std::fflush(stdout);
      check_not_offered(expected, other);
    }
}

TEST_CASE("Two feet in every position, their cards off by what calipers are off: the best stays best, or ties",
          "[.][long][twelve]") {
  const auto right = source_data::meshes() / "feet/sample.toml", left = source_data::meshes() / "feet/sample_left.toml";
  const std::vector<StockItem> items = shelf({235, 240}, {87, 90}, {2.0}, 8);
  Memory memory(stand_solver({}, {}, {}), "off");
  keep(memory, "off");
  const std::vector<Wearer> wearers = {wearer_of(right), wearer_of(left)};
  const auto before = costs(wearers, items, memory);
  const int best = best_of(before);
  const double tie = SearchOptions{}.tie;
  for (const double of_right : {-1.0, 1.0})
    for (const double of_left : {-1.0, 1.0}) {
      const auto after = costs({off_by_calipers(right, of_right), off_by_calipers(left, of_left)}, items, memory);
      const int now = best_of(after);
      CAPTURE(of_right, of_left, best, now, before.at(best).cost, before.at(now).cost);
      CHECK((now == best || before.at(now).cost <= before.at(best).cost + tie +
                                                       doubt(house_rules(), wearers, before.at(best), before.at(now))));
      int within = 0;
      for (const auto& [item, standing] : before) {
        const double moved = after.at(item).cost - after.at(best).cost - (standing.cost - before.at(best).cost);
        if (std::abs(moved) <= tie + doubt(house_rules(), wearers, before.at(best), standing)) ++within;
      }
      fmt::print(
          "result: cards off {:+g} and {:+g}: best {} with {:.2f} points, before that {} with {:.2f}; {} of {} shoes "
          "moved "
          "against it by no more than is told as a tie\n",
          of_right, of_left, items[static_cast<std::size_t>(now)].label, after.at(now).cost,
          items[static_cast<std::size_t>(best)].label, before.at(best).cost, within, before.size());
      std::fflush(stdout);
    }
}
