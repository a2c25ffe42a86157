// Random feet in random shoes in every position: each balances or says why not, and no answer holds what is no number.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <map>
#include <random>

#include "aplomb/findings/assess.h"
#include "aplomb/foot/random.h"
#include "parallel.h"
#include "random_shoe.h"
#include "setup.h"

using namespace aplomb;
using namespace aplomb::study::test;
using stance::Position;

namespace {

constexpr int stands_per_foot = 10;

struct Outcome {
  Position position = Position::parallel;
  bool stood = false, converged = false, sound = true;
  bool toes_in = true;  ///< else a toe stays outside this box or slips out of it, and the answer says so
  std::string reason;
  double seconds = 0, depth_mm = 0;
};

Outcome outcome_of(const std::shared_ptr<const foot::Foot>& foot, const std::shared_ptr<const shoe::Shoe>& shoe,
                   Position position) {
  Outcome out;
  out.position = position;
  stance::StandOptions options;
  options.position = position;
  const auto started = std::chrono::steady_clock::now();
  const auto stance = stance::stand(foot, shoe, options);
  out.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count();
  if (!stance) {
    out.reason = io::to_line(stance.error());
    return out;
  }
  out.stood = true;
  out.converged = stance->rest().converged;
  out.reason = stance->rest().reason;
  out.toes_in =
      out.reason.find("outside the box") == std::string::npos && out.reason.find("out of the box") == std::string::npos;
  const findings::Findings found = findings::assess(*stance);
  if (out.converged) {
    out.sound = stance->rest().q.allFinite() && stance->rest().force_residual <= 1e-4 &&
                stance->rest().moment_residual <= 1e-4 &&
                (!found.load_share || std::abs(found.load_share->sum() - 100) <= 0.1);
    for (const findings::Number& number : {found.depth_mm, found.sink_mm, found.peak_kPa, found.wall_give_mm})
      out.sound = out.sound && (!number || std::isfinite(*number));
    out.depth_mm = found.depth_mm.value_or(0);
  } else {
    out.sound = !out.reason.empty() && !found.load_share && !found.peak_kPa;
  }
  return out;
}

/// Stands of the feet first .. first + feet, all of each foot's.
std::vector<Outcome> stand_randomly(int first, int feet, int threads) {
  std::vector<Outcome> out(static_cast<std::size_t>(feet * stands_per_foot));
  study::for_each_index(feet, threads, nullptr, [&](int f) {
    const auto seed = static_cast<std::uint64_t>(first + f);
    const auto foot = std::make_shared<const foot::Foot>(need(foot::random_foot(model(), prior(), seed)));
    std::mt19937 random(static_cast<std::uint32_t>(seed));
    for (int k = 0; k < stands_per_foot; ++k) {
      std::shared_ptr<const shoe::Shoe> shoe;
      while (!shoe) shoe = shoe_for(*foot, random);
      const auto position = static_cast<Position>(random() % stance::position_names().size());
      out[static_cast<std::size_t>(f * stands_per_foot + k)] = outcome_of(foot, shoe, position);
    }
  });
  return out;
}

}  // namespace

TEST_CASE("random feet in random shoes balance or say why not") {
  const std::vector<Outcome> outcomes = stand_randomly(7000, 2, 0);
  for (const Outcome& one : outcomes) {
    CAPTURE(stance::name(one.position), one.reason);
    CHECK(one.stood);
    CHECK(one.sound);
    CHECK(one.converged);
  }
  // Another foot's stands before leave no trace.
  const std::vector<Outcome> again = stand_randomly(7001, 1, 1);
  for (std::size_t k = 0; k < again.size(); ++k) {
    CHECK(again[k].converged == outcomes[stands_per_foot + k].converged);
    CHECK(again[k].depth_mm == outcomes[stands_per_foot + k].depth_mm);
  }
}

TEST_CASE("10 000 random feet, shoes and positions", "[.][long][random]") {
  // Where there is no time for all at once: APLOMB_STANDS gives a smaller count, APLOMB_STANDS_FROM how many to pass
  // over.
  const auto number = [](const char* name, int otherwise) {
    const char* value = std::getenv(name);
    return value != nullptr ? std::atoi(value) : otherwise;
  };
  const int feet = std::max(1, number("APLOMB_STANDS", 10000) / stands_per_foot);
  const int from = number("APLOMB_STANDS_FROM", 0) / stands_per_foot;
  const std::vector<Outcome> outcomes = stand_randomly(from, feet, 0);
  std::map<Position, int> all, good;
  std::map<Position, std::size_t> slowest;
  int balanced = 0, unsound = 0, refused = 0, outside = 0;
  const auto named = [&](std::size_t k) {
    return fmt::format("foot {} stand {}", from + static_cast<int>(k) / stands_per_foot, k % stands_per_foot);
  };
  for (std::size_t k = 0; k < outcomes.size(); ++k) {
    const Outcome& one = outcomes[k];
    ++all[one.position];
    good[one.position] += one.converged ? 1 : 0;
    std::size_t& slow = slowest.try_emplace(one.position, k).first->second;
    if (one.seconds > outcomes[slow].seconds) slow = k;
    balanced += one.converged ? 1 : 0;
    unsound += one.sound ? 0 : 1;
    outside += one.toes_in ? 0 : 1;
    refused += one.stood ? 0 : 1;
    if (!one.converged) fmt::print("{}, {}: {}\n", named(k), stance::name(one.position), one.reason);
  }
  fmt::print(
      "result: feet {} to {}: {} of {} stands balance, {:.2f} %, {} have a toe outside the box; the others say why; {} "
      "refused, {} unsound\n",
      from, from + feet - 1, balanced, outcomes.size(), 100.0 * balanced / static_cast<double>(outcomes.size()),
      outside, refused, unsound);
  for (const auto& [position, count] : all)
    fmt::print("result: {}: {} of {} balance; slowest {:.0f} s ({})\n", stance::name(position), good[position], count,
               outcomes[slowest[position]].seconds, named(slowest[position]));
  CHECK(unsound == 0);
  CHECK(refused == 0);
  CHECK(balanced + outside >= 0.995 * static_cast<double>(outcomes.size()));
  CHECK(outside <= 0.03 * static_cast<double>(outcomes.size()));
}
