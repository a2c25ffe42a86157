// What this machine is worth: a dense LU of fixed size, to hold the other times against.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>

#include <Eigen/Dense>
#include <random>

namespace {

void lu_of_500(benchmark::State& state) {
  std::mt19937 random(1);
  Eigen::MatrixXd a(500, 500);
  for (double& value : a.reshaped()) value = static_cast<double>(random()) / 4294967296.0 - 0.5;
  for (auto _ : state) {
    const Eigen::PartialPivLU<Eigen::MatrixXd> lu(a);
    benchmark::DoNotOptimize(lu.matrixLU()(0, 0));
  }
}
BENCHMARK(lu_of_500)
    ->Name("yardstick, Eigen dense LU of 500 x 500")
    ->Repetitions(10)
    ->ReportAggregatesOnly()
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

}  // namespace
