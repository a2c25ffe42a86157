// A foot out of a scan of 200 000 points, beside a library's way of only laying the mean template onto it.
// SPDX-License-Identifier: GPL-3.0-or-later
// The stand of the tests, without their main().
#define CATCH_CONFIG_RUNNER
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include "../scan/by_open3d.h"
#include "../source_data.h"

namespace {

using namespace aplomb;
using namespace aplomb::scan;

const testing::Recipe recipe{.seed = 4, .points = 200000, .noise_mm = 0.5, .missing = 0.2};

const testing::Synthetic& truth() {
  static const testing::Synthetic made = testing::make_synthetic(recipe);
  return made;
}

void settings(benchmark::internal::Benchmark* bench) {
  bench->Repetitions(5)->Iterations(1)->ReportAggregatesOnly()->UseRealTime()->Unit(benchmark::kMillisecond);
}

void by_fit(benchmark::State& state) {
  const testing::Synthetic& scanned = truth();
  const auto& model = source_data::model();
  const auto& prior = source_data::prior();
  double off = 0;
  for (auto _ : state) {
    const auto fit = fit_scan(scanned.scan, model, prior);
    if (!fit) {
      state.SkipWithError(io::to_line(fit.error()).c_str());
      return;
    }
    state.PauseTiming();
    off = testing::mean_distance(fit->skin_F.vertices, scanned);
    state.ResumeTiming();
  }
  state.SetLabel(fmt::format("{:.2f} mm off where seen (CGAL); finds side, unit, shape", off));
}
BENCHMARK(by_fit)->Name("scan of 200000 points, fit_scan() on two threads")->Apply(settings);

void by_library(benchmark::State& state) {
  const testing::Synthetic& scanned = truth();
  source_data::model();
  double off = 0;
  for (auto _ : state) {
    const auto placed = testing::by_open3d(scanned, recipe);
    state.PauseTiming();
    off = testing::mean_distance(testing::in_true_frame(placed, scanned, false), scanned);
    state.ResumeTiming();
  }
  state.SetLabel(fmt::format("{:.2f} mm off where seen (CGAL); told side, unit, length", off));
}
BENCHMARK(by_library)->Name("the same, Open3D FPFH, RANSAC and ICP of the mean template")->Apply(settings);

}  // namespace
