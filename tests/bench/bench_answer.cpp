// One answer as the window asks for it, the program being up and the foot fitted: shoe made, stood up, findings taken;
// at rest, and while a number of the shoe is dragged.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>

#include <algorithm>
#include <memory>
#include <stdexcept>

#include "aplomb/findings/assess.h"
#include "aplomb/stance/stand.h"
#include "sample.h"

namespace {

using namespace aplomb;
using namespace aplomb::bench;

struct Answer {
  std::shared_ptr<const contact::LoadPath> solved;
  findings::Findings findings;
};

Answer answer(const shoe::ShoeParameters& parameters, const contact::SolveOptions& solve) {
  stance::StandOptions options;
  options.solve = solve;
  const auto shoe = std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(parameters)));
  const stance::Stance stance = need(stance::stand(sample_foot(), shoe, options));
  if (!stance.rest().converged) throw std::runtime_error(stance.rest().reason);
  return {stance.solved, findings::assess(stance)};
}

void settings(benchmark::internal::Benchmark* bench) {
  bench->Iterations(1)->Repetitions(10)->ReportAggregatesOnly()->UseRealTime()->Unit(benchmark::kMillisecond);
}

void at_rest(benchmark::State& state) {
  sample_foot();
  for (auto _ : state) benchmark::DoNotOptimize(answer(sample_shoe(), {}));
}
BENCHMARK(at_rest)->Name("answer at rest, two feet, shoe to findings")->Apply(settings);

/// Breadth dragged back and forth, a tenth of a millimetre each answer.
void dragging(benchmark::State& state) {
  shoe::ShoeParameters shoe = sample_shoe();
  std::shared_ptr<const contact::LoadPath> before = answer(shoe, {}).solved;
  const double breadth_mm = shoe.ball_breadth_mm;
  int k = 0;
  for (auto _ : state) {
    const int place = ++k % 20;
    shoe.ball_breadth_mm = breadth_mm + 0.1 * std::min(place, 20 - place);
    before = answer(shoe, contact::dragging_options(before)).solved;
  }
}
BENCHMARK(dragging)
    ->Name("answer while dragging, two feet, shoe to findings")
    ->Iterations(20)
    ->Repetitions(10)
    ->ReportAggregatesOnly()
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

void shoe_only(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(need(shoe::make_shoe(sample_shoe())));
}
BENCHMARK(shoe_only)->Name("of that, the shoe from its numbers")->Apply(settings);

void findings_only(benchmark::State& state) {
  const auto shoe = std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(sample_shoe())));
  const stance::Stance stance = need(stance::stand(sample_foot(), shoe, {}));
  for (auto _ : state) benchmark::DoNotOptimize(findings::assess(stance));
}
BENCHMARK(findings_only)->Name("of that, the findings")->Apply(settings);

}  // namespace
