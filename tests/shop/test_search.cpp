// Early rejection against the exhaustive answer, on answers made by hand and on real ones.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <catch2/catch.hpp>
#include <mutex>

#include "../temporary_folder.h"
#include "aplomb/io/files.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::shop;
using namespace aplomb::shop::test;

namespace {

/// Answers without a foot: numbers that follow from shoe, foot and position by a hash, spread like real ones.
Solve made_up(int seed, std::atomic<int>* count = nullptr) {
  return [seed, count](const FootPtr& foot, const shoe::ShoeParameters& shoe, const std::string& position) {
    if (count != nullptr) ++*count;
    const auto number = [&](const char* name, double low, double high) {
      const std::string hash = io::content_hash(
          fmt::format("{}{}{}{}{}", seed, shoe_hash(shoe), position, name, static_cast<int>(foot->side)));
      return low + (high - low) * static_cast<double>(std::stoull(hash, nullptr, 16) >> 11) / 9007199254740992.0;
    };
    Solved solved{number("fails", 0, 1) > 0.02, "", number("in", 0, 1) > 0.02, {}};
    solved.values = {
        {"depth_mm", number("depth", 2, 16)},      {"heel_slack_mm", number("slack", -8, 18)},
        {"toe_room_mm", number("room", -3, 6)},    {"crowding_index", number("crowd", 0, 0.1)},
        {"vamp_cover_mm", number("vamp", -3, 12)}, {"break_point.arch_fraction", number("break", -0.2, 1.8)},
        {"side_roll_deg", number("roll", -10, 2)}};
    return io::Result<Solved>(solved);
  };
}

/// Complete items in order, as far as `count`.
std::vector<std::pair<int, double>> leaders(const Search& search, std::size_t count) {
  std::vector<std::pair<int, double>> all;
  for (const Standing& one : search.ranking)
    if (one.complete && all.size() < count) all.emplace_back(one.item, one.cost);
  return all;
}

const std::vector<StockItem>& forty() {
  static const std::vector<StockItem> items = shelf({230, 235, 240, 245}, {84, 87, 90, 93}, {2.0}, 40);
  return items;
}

}  // namespace

TEST_CASE("Early rejection finds the same three as solving everything, and solves less", "[search]") {
  REQUIRE(forty().size() == 40);
  const std::vector<Wearer> wearers = {right_sample(), left_sample()};
  int best_solves = 0, early_solves = 0, all_solves = 0;
  for (int seed = 1; seed <= 60; ++seed) {
    CAPTURE(seed);
    Memory first(made_up(seed), "m"), memory(made_up(seed), "m"), whole(made_up(seed), "m");
    SearchOptions options;
    options.threads = 1 + seed % 2;
    const Search best = need(search(wearers, forty(), house_rules(), first, options));
    options.top = 3;
    const Search early = need(search(wearers, forty(), house_rules(), memory, options));
    options.exhaustive = true;
    const Search all = need(search(wearers, forty(), house_rules(), whole, options));
    CHECK(leaders(early, 3) == leaders(all, 3));
    CHECK(all.not_complete == 0);
    // Where only the first is asked for, it is the first, and whatever ties with it is known whole.
    CHECK(leaders(best, 1) == leaders(all, 1));
    for (const auto& [item, points] : leaders(all, 40))
      if (points <= leaders(all, 1).front().second + options.tie) {
        const auto whole_too = leaders(best, 40);
        CHECK(std::find(whole_too.begin(), whole_too.end(), std::pair(item, points)) != whole_too.end());
      }
    // A bound is no more than what solving everything gives, and says where the shoe was left.
    for (const Standing& bound : best.ranking) {
      const auto exact =
          std::find_if(all.ranking.begin(), all.ranking.end(), [&](const Standing& s) { return s.item == bound.item; });
      CHECK(bound.cost <= exact->cost + 1e-9);
      CHECK(bound.left_at.empty() == bound.complete);
      CHECK((bound.left_at == by_measure) == !bound.solved);
    }
    best_solves += best.solves, early_solves += early.solves, all_solves += all.solves;
    // What was not completed could not have ranked before the third.
    for (const Standing& one : early.ranking)
      if (!one.complete) CHECK(one.cost > leaders(early, 3).back().second);
  }
  CHECK(early_solves < all_solves / 4);
  CHECK(best_solves < all_solves / 6);
}

TEST_CASE("A shoe is asked first where its like failed, so that dear positions are seldom needed", "[search]") {
  // Every tapered shoe fails on the way down alone; the parallel one fails nowhere, but fits less well by measure.
  std::map<std::string, int> asked;
  std::mutex mutex;
  const Rules& rules = house_rules();
  const auto base = need(shoe::read_shoe(source_data::shoe_file("tapered")));
  const Solve on_the_way_down = [&](const FootPtr&, const shoe::ShoeParameters& shoe, const std::string& position) {
    const std::lock_guard lock(mutex);
    ++asked[position];
    const bool fails = position == "roll-down" && shoe.plan_taper == base.plan_taper;
    return io::Result<Solved>(Solved{true, "", true, {{"way_down.shank_gap_mm", fails ? 60.0 : 5.0}}});
  };
  const std::vector<StockItem> made = shelf({240}, {90}, {2.0}, 2);  // tapered, parallel
  std::vector<StockItem> items(20, made[0]);
  for (std::size_t i = 0; i < items.size(); ++i) items[i].shoe.shank_EI_Nm2 *= 1 + 0.01 * static_cast<double>(i);
  items.push_back(made[1]);
  Memory memory(on_the_way_down, "m");
  const Search found = need(search({right_sample()}, items, rules, memory, {}));
  CHECK(items[static_cast<std::size_t>(found.ranking.front().item)].design != "tapered");
  int left_there = 0, at_once = 0;
  for (const Standing& one : found.ranking)
    if (one.left_at == "roll-down") {
      ++left_there;
      CHECK(items[static_cast<std::size_t>(one.item)].design == "tapered");
      // By measure, there, and on the box where it was among the few of the first round.
      if (one.answers[0].size() <= 3) ++at_once;
    }
  CAPTURE(left_there, at_once, asked["demi-pointe"], asked["roll-down"]);
  // In the order of time alone every one of them would have been asked in all six positions.
  CHECK(left_there >= 4);
  CHECK(at_once >= left_there - 2);
  CHECK(asked["demi-pointe"] <= asked["roll-down"] - at_once);
}

TEST_CASE("The first ranking comes after the cheapest position of the few that lead by measure", "[search]") {
  const std::vector<Wearer> wearers = {right_sample(), left_sample()};
  Memory memory(made_up(5), "m");
  SearchOptions options;
  std::vector<RankingSoFar> told;
  options.on_ranking = [&](const RankingSoFar& so_far) { told.push_back(so_far); };
  const Search found = need(search(wearers, forty(), house_rules(), memory, options));
  REQUIRE(told.size() > 3);
  CHECK(told[0].step == RankingSoFar::Step::measured);
  CHECK(told[0].solves == 0);
  REQUIRE(told[1].step == RankingSoFar::Step::first);
  CHECK(told[1].solves == 8);
  CHECK(told[2].step == RankingSoFar::Step::later);
  std::vector<int> first;
  for (std::size_t i = 0; i < 4; ++i) {
    const Standing& one = told[1].ranking[i];
    CHECK(one.left_at == "on-box");
    for (const Answers& answers : one.answers) CHECK(answers.size() == 2);  // by measure and on the box
    if (i > 0) CHECK(told[1].ranking[i - 1].cost <= one.cost);
    if (i < 3) first.push_back(one.item);
  }
  CHECK_FALSE(told[1].ranking[4].solved);
  CHECK(found.first == first);
}

TEST_CASE("The ranking is the same for any number of threads and for the order of asking", "[search]") {
  const std::vector<Wearer> wearers = {right_sample(), left_sample()};
  std::vector<std::pair<int, double>> first;
  for (const int threads : {1, 2, 3}) {
    Memory memory(made_up(7), "m");
    SearchOptions options;
    options.top = 3;
    options.threads = threads;
    const Search found = need(search(wearers, forty(), house_rules(), memory, options));
    if (first.empty()) first = leaders(found, 40);
    CHECK(leaders(found, 40) == first);
  }
}

TEST_CASE("A cancelled search says so, and goes on from its file without solving twice", "[search]") {
  const scratch::Folder folder;
  const std::string file = (folder.path / "answers").string();
  const std::vector<Wearer> wearers = {right_sample(), left_sample()};
  std::atomic<bool> cancel{false};
  std::atomic<int> solved{0};
  {
    Memory memory(made_up(3, &solved), "m");
    REQUIRE(memory.keep_in(file));
    SearchOptions options;
    options.progress.cancel = &cancel;
    options.progress.report = [&](double, std::string_view) { cancel = solved >= 30; };
    const auto stopped = search(wearers, forty(), house_rules(), memory, options);
    REQUIRE_FALSE(stopped);
    CHECK(stopped.error().kind == io::ErrorKind::cancelled);
  }
  // The last line was cut off while it was written.
  const std::string text = need(io::read_file(file));
  REQUIRE(io::write_file(file, text.substr(0, text.size() - 20)));
  Memory memory(made_up(3, &solved), "m"), fresh(made_up(3), "m");
  REQUIRE(memory.keep_in(file));
  const Search resumed = need(search(wearers, forty(), house_rules(), memory, {}));
  const Search whole = need(search(wearers, forty(), house_rules(), fresh, {}));
  CHECK(leaders(resumed, 40) == leaders(whole, 40));
  CHECK(memory.known() >= 29);
  CHECK(memory.solved() == fresh.solved() - memory.known());
  // Answers of other constants or feet are not taken.
  Memory other(made_up(3), "other");
  REQUIRE(other.keep_in(file));
  need(search(wearers, forty(), house_rules(), other, {}));
  CHECK(other.known() == 0);
  // Nor those of a program that answered otherwise.
  Memory newer(made_up(3), "m");
  REQUIRE(io::write_file(file, "aplomb-answers 0 0123456789abcdef\n"));
  const auto refused = newer.keep_in(file);
  REQUIRE_FALSE(refused);
  CHECK(refused.error().message == "holds answers of another version of aplomb");
  Memory none(made_up(3), "m");
  const std::string card = (folder.path / "card").string();
  REQUIRE(io::write_file(card, "format = 1\n"));
  CHECK_FALSE(none.keep_in(card));
}

TEST_CASE("Nothing is said of rows without pairs", "[search]") {
  std::vector<StockItem> items = forty();
  Memory memory(made_up(1), "m");
  const int best = need(search({right_sample()}, items, house_rules(), memory, {})).ranking.front().item;
  items[static_cast<std::size_t>(best)].pairs = 0;
  const Search without = need(search({right_sample()}, items, house_rules(), memory, {}));
  CHECK(without.ranking.size() == 39);
  CHECK(without.ranking.front().item != best);
}

TEST_CASE("Forty real shoes on two real feet: early rejection against the exhaustive answer", "[search]") {
  // On the box alone, which solves in a tenth of a second; every position in the long run.
  const std::vector<Wearer> wearers = {right_sample(), left_sample()};
  Memory memory(stand_solver({}, {}, {}), "real");
  SearchOptions options;
  options.top = 3;
  options.positions = {"on-box"};
  const Search early = need(search(wearers, forty(), house_rules(), memory, options));
  const int early_solves = memory.solved();
  options.exhaustive = true;
  const Search all = need(search(wearers, forty(), house_rules(), memory, options));
  CHECK(leaders(early, 3) == leaders(all, 3));
  CHECK(memory.solved() == 80);
  CHECK(early_solves < 40);
}
