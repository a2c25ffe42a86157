// The shelf's own thread: what leads meanwhile, cancelling, going on from what was solved, and what is refused.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <chrono>
#include <thread>

#include "../shop/feet.h"
#include "../temporary_folder.h"
#include "aplomb/io/files.h"
#include "viewer/shelf_job.h"

using namespace aplomb;
using namespace aplomb::shop::test;
using viewer::ShelfJob;
using viewer::ShelfMemory;
using viewer::ShelfWish;

namespace {

/// Rules that are answered by measure and on the box, a tenth of a second each.
std::shared_ptr<const shop::Rules> quick_rules() {
  auto rules = std::make_shared<shop::Rules>(house_rules());
  std::erase_if(rules->rules, [](const shop::Rule& rule) {
    return (rule.condition.position != shop::by_measure && rule.condition.position != "on-box") || !rule.when.empty();
  });
  return rules;
}

ShelfWish wish_for(const std::filesystem::path& stock, std::shared_ptr<const shop::Rules> rules) {
  ShelfWish wish;
  wish.stock = stock;
  wish.left = left_sample(), wish.right = right_sample();
  wish.rules = std::move(rules);
  wish.designs = source_data::meshes() / "shoes";
  wish.memory = std::make_shared<ShelfMemory>(stance::Constants{}, "test");
  return wish;
}

void wait_for(const ShelfJob& job) {
  while (!job.ended()) std::this_thread::sleep_for(std::chrono::milliseconds(5));
}

}  // namespace

TEST_CASE("a shelf is compared on a thread of its own as the command line compares it", "[shelf]") {
  const auto stock = source_data::meshes() / "stock/sample.csv";
  const ShelfWish wish = wish_for(stock, quick_rules());
  std::atomic<int> woken{0};
  ShelfJob job(wish, [&] { ++woken; });
  wait_for(job);
  const auto answer = need(job.take());
  CHECK(woken > 2);
  CHECK(job.so_far().first.size() == 3);
  CHECK(job.so_far().fraction > 0);
  // The same by hand.
  shop::CompareInputs inputs{left_sample(), right_sample(), "",
                             need(shop::read_stock(stock, source_data::meshes() / "shoes")), *quick_rules()};
  shop::Memory memory(shop::stand_solver({}, {}, {}), "by hand");
  const auto comparison = need(shop::compare(inputs, memory, {}));
  REQUIRE(answer.comparison.pairs.ranking.size() == comparison.pairs.ranking.size());
  for (std::size_t i = 0; i < comparison.pairs.ranking.size(); ++i) {
    CHECK(answer.comparison.pairs.ranking[i].item == comparison.pairs.ranking[i].item);
    CHECK(answer.comparison.pairs.ranking[i].cost == comparison.pairs.ranking[i].cost);
  }
  // Rules that were raised are still there after the answer has moved.
  for (const shop::Advice& advice : answer.comparison.advice)
    for (const shop::Raised& one : advice.raised) {
      CHECK(one.rule >= answer.inputs.rules.rules.data());
      CHECK(one.rule < answer.inputs.rules.rules.data() + answer.inputs.rules.rules.size());
    }
  // Asked again, nothing is solved twice.
  const int solved = wish.memory->memory.solved();
  ShelfJob again(wish, {});
  wait_for(again);
  CHECK(again.take());
  CHECK(wish.memory->memory.solved() == solved);
}

TEST_CASE("a cancelled shelf ends soon, keeps what it solved, and a stock that cannot be read is told", "[shelf]") {
  const scratch::Folder folder;
  const ShelfWish wish =
      wish_for(source_data::meshes() / "stock/sample.csv", std::make_shared<shop::Rules>(house_rules()));
  {
    ShelfJob job(wish, {});
    while (job.so_far().first.empty() && !job.ended()) std::this_thread::sleep_for(std::chrono::milliseconds(5));
    REQUIRE_FALSE(job.ended());  // else nothing is left to cancel
    const auto at = std::chrono::steady_clock::now();
    job.cancel();
    wait_for(job);
    CHECK(std::chrono::duration<double>(std::chrono::steady_clock::now() - at).count() < 5);
    const auto stopped = job.take();
    REQUIRE_FALSE(stopped);
    CHECK(stopped.error().kind == io::ErrorKind::cancelled);
  }
  CHECK(wish.memory->memory.solved() >= 2);

  const auto file = folder.path / "double.csv";
  REQUIRE(io::write_file(file,
                         "label,design,length_mm,breadth_mm,shank,pairs\na,tapered,240,90,,1\na,tapered,240,90,,1\n"));
  ShelfJob bad(wish_for(file, quick_rules()), {});
  wait_for(bad);
  const auto refused = bad.take();
  REQUIRE_FALSE(refused);
  CHECK(refused.error().line == 3);
  CHECK(refused.error().field == "label");
}
