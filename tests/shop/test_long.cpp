// The shelf whole: early rejection against the exhaustive answer in every position, and five hundred variants timed.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include <catch2/catch.hpp>
#include <chrono>
#include <ctime>

#include "aplomb/shop/compare.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::shop;
using namespace aplomb::shop::test;

namespace {

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

double processor_s() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

std::vector<std::pair<int, double>> best_three(const Search& search) {
  std::vector<std::pair<int, double>> all;
  for (std::size_t i = 0; i < 3; ++i) all.emplace_back(search.ranking[i].item, search.ranking[i].cost);
  return all;
}

}  // namespace

TEST_CASE("Five hundred shoes on two feet: how long the best takes, and that it is the best", "[.][long][shelf]") {
  // From two cards and a list of shoes, as a fitter's command does it; nothing remembered.
  const auto start = std::chrono::steady_clock::now();
  const double processor_start = processor_s();
  const std::vector<StockItem> items =
      shelf({225, 230, 235, 240, 245, 250}, {81, 84, 87, 90, 93, 96, 99}, {1.8, 2.0, 2.2, 2.5}, 500);
  REQUIRE(items.size() == 500);
  const Wearer right = right_sample();
  Wearer left = left_sample();
  left.layers = padded(left.layers, difference(*left.foot, *right.foot));
  const std::vector<Wearer> wearers = {right, left};
  Memory fresh(stand_solver({}, {}, {}), "long");
  double first_s = -1, first_processor_s = -1;
  SearchOptions options;
  options.on_ranking = [&](const RankingSoFar& so_far) {
    if (so_far.step != RankingSoFar::Step::first) return;
    first_s = seconds_since(start), first_processor_s = processor_s() - processor_start;
  };
  const Search found = need(search(wearers, items, house_rules(), fresh, options));
  const double all_s = seconds_since(start), all_processor_s = processor_s() - processor_start;
  const Standing& best = found.ranking.front();
  CHECK(best.complete);
  // Promised: 60 s and 3 s on two cores to itself, which is at most twice that of processor time.
  CHECK(all_processor_s <= 2 * 60);
  CHECK(first_processor_s <= 2 * 3);
  const int first_place =
      static_cast<int>(std::find_if(found.ranking.begin(), found.ranking.end(),
                                    [&](const Standing& one) { return one.item == found.first.front(); }) -
                       found.ranking.begin());
  CHECK(first_place < 25);  // of use: among the best twentieth
  fmt::print(
      "result: 500 shoes, 2 feet, {} positions: best one proven in {:.0f} s, {:.0f} s of processor time, {} solves; "
      "first ranking after {:.1f} s, {:.1f} s of processor time, its leader comes out in place {}\n"
      "result: {:.1f} % of 500 shoes rejected by measure, {:.1f} % before every position was solved\n",
      house_rules().positions().size(), all_s, all_processor_s, found.solves, first_s, first_processor_s,
      first_place + 1, 100.0 * found.never_solved / 500, 100.0 * found.not_complete / 500);

  // The exhaustive answer. What a shoe costs by measure is part of what it costs, so those that cost more by measure
  // alone than the best one in all are behind it whatever solving them gave; every other is solved in every position.
  std::vector<StockItem> left_over;
  std::vector<int> index;
  for (const Standing& one : found.ranking) {
    double by_measure_cost = 0;
    for (const Answers& answers : one.answers)
      by_measure_cost += cost(house_rules(), {{by_measure, answers.at(by_measure)}});
    if (by_measure_cost > best.cost) continue;
    left_over.push_back(items[static_cast<std::size_t>(one.item)]);
    index.push_back(one.item);
  }
  Memory memory(stand_solver({}, {}, {}), "long");
  keep(memory, "five_hundred");
  options.on_ranking = {};
  options.exhaustive = true;
  const Search all = need(search(wearers, left_over, house_rules(), memory, options));
  CHECK(all.not_complete == 0);
  CHECK(index[static_cast<std::size_t>(all.ranking.front().item)] == best.item);
  CHECK(all.ranking.front().cost == best.cost);
  fmt::print(
      "result: the exhaustive answer is the same: {} shoes that measure alone does not put behind the best, {} "
      "solves\n",
      left_over.size(), all.solves);
}

TEST_CASE("Forty shoes in every position: early rejection against the exhaustive answer", "[.][long][shelf]") {
  const std::vector<Wearer> wearers = {right_sample(), left_sample()};
  const auto items = shelf({230, 235, 240, 245}, {84, 87, 90, 93}, {2.0}, 40);
  Memory memory(stand_solver({}, {}, {}), "long");
  keep(memory, "forty");
  SearchOptions options;
  options.top = 3;
  const Search early = need(search(wearers, items, house_rules(), memory, options));
  options.exhaustive = true;
  const Search all = need(search(wearers, items, house_rules(), memory, options));
  CHECK(best_three(early) == best_three(all));
  fmt::print(
      "result: 40 shoes, 2 feet, {} positions: best three as solving everything; {} of {} solves, {} shoes "
      "rejected by measure\n",
      house_rules().positions().size(), early.solves, all.solves, early.never_solved);
}
