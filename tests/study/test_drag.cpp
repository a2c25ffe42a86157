// Answers while a number is dragged, beside full ones: that they are the same, whatever was solved before, and what
// they save.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <map>
#include <string>

#include "aplomb/findings/assess.h"
#include "aplomb/foot/random.h"
#include "parallel.h"
#include "random_shoe.h"
#include "setup.h"

using namespace aplomb;
using namespace aplomb::study::test;
using stance::Position;

namespace {

constexpr std::array quantities{"depth mm", "sink mm", "peak kPa", "platform % of the load"};

struct Answer {
  bool converged = false;
  std::array<double, quantities.size()> value{};
  int iterations = 0;
  double ms = 0;
  std::shared_ptr<const contact::LoadPath> solved;
};

Answer answer(const std::shared_ptr<const foot::Foot>& foot, const shoe::ShoeParameters& shoe, Position position,
              const contact::SolveOptions& solve) {
  stance::StandOptions options;
  options.position = position;
  options.solve = solve;
  const auto started = std::chrono::steady_clock::now();
  const auto made = std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(shoe)));
  const auto stance = need(stance::stand(foot, made, options));
  const findings::Findings found = findings::assess(stance);
  Answer out;
  out.ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - started).count();
  out.converged = stance.rest().converged;
  const double platform = found.load_share ? found.load_share->platform : 0;
  out.value = {found.depth_mm.value_or(0), found.sink_mm.value_or(0), found.peak_kPa.value_or(0), platform};
  out.iterations = stance.path.seat.iterations + stance.rest().iterations;
  for (const contact::Equilibrium& further : stance.path.further) out.iterations += further.iterations;
  out.solved = stance.solved;
  return out;
}

double difference(const Answer& a, const Answer& b, std::size_t quantity) {
  return std::abs(a.value[quantity] - b.value[quantity]);
}

double at_share(std::vector<double> values, double share) {
  if (values.empty()) return 0;
  const auto k = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), values.begin() + k, values.end());
  return values[static_cast<std::size_t>(k)];
}

}  // namespace

TEST_CASE("an answer while dragging is all but the full one, whichever way it was dragged") {
  const auto foot = std::make_shared<const foot::Foot>(need(foot::random_foot(model(), prior(), 7100)));
  std::mt19937 random(7100);
  std::shared_ptr<const shoe::Shoe> drawn;
  while (!drawn) drawn = shoe_for(*foot, random);
  for (const Position position : {Position::full_pointe_two, Position::demi_plie}) {
    CAPTURE(stance::name(position));
    shoe::ShoeParameters wider = drawn->parameters, narrower = drawn->parameters;
    wider.ball_breadth_mm += 0.4, narrower.ball_breadth_mm -= 0.4;
    const Answer full = answer(foot, drawn->parameters, position, {});
    REQUIRE(full.converged);
    for (const shoe::ShoeParameters& before : {wider, narrower}) {
      const Answer neighbour = answer(foot, before, position, {});
      contact::SolveOptions solve = contact::dragging_options(neighbour.solved);
      const Answer along = answer(foot, drawn->parameters, position, solve);
      REQUIRE(along.converged);
      CHECK(difference(along, full, 0) < 0.05);
      CHECK(difference(along, full, 2) < 0.02 * full.value[2]);
      CHECK(difference(along, full, 3) < 0.3);
      // With every step of the load balanced nothing of that is left.
      solve.balanced_every = 1;
      solve.trusted_step_mm = contact::SolveOptions{}.trusted_step_mm;
      const Answer beside = answer(foot, drawn->parameters, position, solve);
      REQUIRE(beside.converged);
      CHECK(beside.iterations < 0.75 * full.iterations);
      CHECK(along.iterations <= beside.iterations);
      CHECK(difference(beside, full, 0) < 0.005);
      CHECK(difference(beside, full, 2) < 0.001 * full.value[2]);
      CHECK(difference(beside, full, 3) < 0.02);
    }
  }
}

TEST_CASE("answers while dragging beside full ones", "[.][long][drag]") {
  constexpr int feet = 20, shoes = 1;
  constexpr std::array positions{Position::parallel,        Position::demi_plie,       Position::on_box,
                                 Position::full_pointe_two, Position::full_pointe_one, Position::demi_pointe};
  struct Row {
    bool full = false, beside = false;
    std::array<double, quantities.size()> off{};
    int iterations_full = 0, iterations_beside = 0;
    double ms_full = 0, ms_beside = 0;
  };
  std::vector<Row> rows(feet * shoes * positions.size());
  study::for_each_index(feet, 0, nullptr, [&](int f) {
    const auto foot = std::make_shared<const foot::Foot>(
        need(foot::random_foot(model(), prior(), static_cast<std::uint64_t>(8000 + f))));
    std::mt19937 random(static_cast<std::uint32_t>(8000 + f));
    for (int s = 0; s < shoes; ++s) {
      std::shared_ptr<const shoe::Shoe> drawn;
      while (!drawn) drawn = shoe_for(*foot, random);
      for (std::size_t p = 0; p < positions.size(); ++p) {
        Row& row = rows[(static_cast<std::size_t>(f) * shoes + static_cast<std::size_t>(s)) * positions.size() + p];
        shoe::ShoeParameters before = drawn->parameters;
        before.ball_breadth_mm -= 0.3;
        const Answer neighbour = answer(foot, before, positions[p], {});
        const Answer full = answer(foot, drawn->parameters, positions[p], {});
        const Answer beside =
            answer(foot, drawn->parameters, positions[p], contact::dragging_options(neighbour.solved));
        row.full = full.converged, row.beside = beside.converged;
        row.iterations_full = full.iterations, row.iterations_beside = beside.iterations;
        row.ms_full = full.ms, row.ms_beside = beside.ms;
        for (std::size_t k = 0; k < quantities.size(); ++k) row.off[k] = difference(beside, full, k);
      }
    }
  });
  for (std::size_t p = 0; p < positions.size(); ++p) {
    int full = 0, beside = 0;
    std::vector<double> iterations_full, iterations_beside, ms_full, ms_beside;
    std::array<std::vector<double>, quantities.size()> off;
    for (std::size_t r = p; r < rows.size(); r += positions.size()) {
      const Row& row = rows[r];
      full += row.full, beside += row.beside;
      if (!row.full || !row.beside) continue;
      iterations_full.push_back(row.iterations_full), iterations_beside.push_back(row.iterations_beside);
      ms_full.push_back(row.ms_full), ms_beside.push_back(row.ms_beside);
      for (std::size_t k = 0; k < quantities.size(); ++k) off[k].push_back(row.off[k]);
    }
    const std::string name(stance::name(positions[p]));
    fmt::print(
        "result: {}: {} balance while dragging, {} in full; steps of Newton, median, {:.0f} and {:.0f}; {:.0f} and "
        "{:.0f} ms with two at a time\n",
        name, beside, full, at_share(iterations_beside, 0.5), at_share(iterations_full, 0.5), at_share(ms_beside, 0.5),
        at_share(ms_full, 0.5));
    for (std::size_t k = 0; k < quantities.size(); ++k)
      fmt::print("result: {}: {}: off the full answer by {:.2g} (median), {:.2g} (90 %), {:.2g} (most)\n", name,
                 quantities[k], at_share(off[k], 0.5), at_share(off[k], 0.9), at_share(off[k], 1));
    CHECK(beside >= full - 1);
  }
}
