// The shelf whole: early rejection against the exhaustive answer in every position, and five hundred variants timed.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <cstdlib>

#include "aplomb/shop/compare.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::shop;
using namespace aplomb::shop::test;

namespace {

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// Answers of a long run are kept in $APLOMB_SHELF, if that is set, so that it can be stopped and go on.
void keep(Memory& memory, const char* name) {
  if (const char* folder = std::getenv("APLOMB_SHELF"))
    REQUIRE(memory.keep_in((std::filesystem::path(folder) / name).string()));
}

std::vector<std::pair<int, double>> best_three(const Search& search) {
  std::vector<std::pair<int, double>> all;
  for (std::size_t i = 0; i < 3; ++i) all.emplace_back(search.ranking[i].item, search.ranking[i].cost);
  return all;
}

}  // namespace

TEST_CASE("Forty shoes in every position: early rejection against the exhaustive answer", "[.][long][shelf]") {
  const std::vector<Wearer> wearers = {right_sample(), left_sample()};
  const auto items = shelf({230, 235, 240, 245}, {84, 87, 90, 93}, {2.0}, 40);
  Memory memory(stand_solver({}, {}, {}), "long");
  keep(memory, "forty");
  SearchOptions options;
  const Search early = need(search(wearers, items, house_rules(), memory, options));
  options.exhaustive = true;
  const Search all = need(search(wearers, items, house_rules(), memory, options));
  CHECK(best_three(early) == best_three(all));
  fmt::print(
      "result: 40 shoes, 2 feet, {} positions: best three as solving everything; {} of {} solves, {} shoes "
      "rejected by measure\n",
      house_rules().positions().size(), early.solves, all.solves, early.never_solved);
}

TEST_CASE("Five hundred shoes on two feet: what early rejection saves, and how long it takes", "[.][long][shelf]") {
  std::vector<StockItem> items =
      shelf({225, 230, 235, 240, 245, 250}, {81, 84, 87, 90, 93, 96, 99}, {1.8, 2.0, 2.2, 2.5}, 500);
  REQUIRE(items.size() == 500);
  Wearer left = left_sample();
  const SizeDifference uneven = difference(*left.foot, *right_sample().foot);
  left.layers = padded(left.layers, uneven);
  const std::vector<Wearer> wearers = {right_sample(), left};
  Memory memory(stand_solver({}, {}, {}), "long");
  const auto start = std::chrono::steady_clock::now();
  double first_s = -1;
  SearchOptions options;
  options.top = 1;
  options.on_ranking = [&](const std::vector<Standing>&) {
    if (first_s < 0) first_s = seconds_since(start);
  };
  const Search found = need(search(wearers, items, house_rules(), memory, options));
  const double all_s = seconds_since(start);
  CHECK(found.ranking.front().complete);
  fmt::print(
      "result: 500 shoes, 2 feet, the best one proven: {:.0f} s, first ranking after {:.2f} s, {} solves; {:.1f} % "
      "rejected by measure, {:.1f} % before every position was solved\n",
      all_s, first_s, found.solves, 100.0 * found.never_solved / 500, 100.0 * found.not_complete / 500);
}
