// One assembly of forces and tangent of the sample at rest, and one LU of that tangent.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>

#include <Eigen/Dense>
#include <memory>

#include "aplomb/contact/system.h"
#include "aplomb/stance/stand.h"
#include "sample.h"

namespace {

using namespace aplomb;
using namespace aplomb::bench;

const stance::Stance& standing() {
  static const stance::Stance stance = need(stance::stand(
      sample_foot(), std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(sample_shoe()))), stance::StandOptions{}));
  return stance;
}

void settings(benchmark::internal::Benchmark* bench) {
  bench->Repetitions(10)->ReportAggregatesOnly()->UseRealTime()->Unit(benchmark::kMicrosecond);
}

void assembly(benchmark::State& state) {
  const stance::Stance& s = standing();
  contact::System system(*s.problem);
  system.freeze(s.rest().q);
  Eigen::VectorXd R;
  Eigen::MatrixXd K;
  for (auto _ : state) system.assemble(s.rest().q, 1, contact::FrictionMode::exact, R, &K);
  state.SetLabel(std::to_string(s.rest().contacts.size()) + " contacts");
}
BENCHMARK(assembly)->Name("assembly of forces and tangent at rest, System::assemble()")->Apply(settings);

void solve_tangent(benchmark::State& state) {
  const stance::Stance& s = standing();
  contact::System system(*s.problem);
  system.freeze(s.rest().q);
  Eigen::VectorXd R;
  Eigen::MatrixXd K;
  system.assemble(s.rest().q, 1, contact::FrictionMode::exact, R, &K);
  for (auto _ : state) benchmark::DoNotOptimize(Eigen::PartialPivLU<Eigen::MatrixXd>(K).matrixLU()(0, 0));
}
BENCHMARK(solve_tangent)->Name("LU of that tangent")->Apply(settings);

}  // namespace
