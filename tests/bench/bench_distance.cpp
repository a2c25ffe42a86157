// One distance to the box: the analytic surface beside CGAL's AABB tree on the meshed cavity.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include "aplomb/geometry/exact.h"
#include "distance_rig.h"

namespace {

using namespace aplomb;
using namespace aplomb::bench;

void settings(benchmark::internal::Benchmark* bench) {
  bench->Repetitions(10)->ReportAggregatesOnly()->UseRealTime()->Unit(benchmark::kNanosecond);
}

void by_surface(benchmark::State& state) {
  const DistanceRig& r = distance_rig();
  std::size_t i = 0;
  for (auto _ : state) {
    geometry::SurfaceSample sample;
    benchmark::DoNotOptimize(r.shoe.box.sample(r.points[i++ % r.points.size()], 3, sample));
    benchmark::DoNotOptimize(sample.gap_mm);
  }
}
BENCHMARK(by_surface)->Name("distance, BoxSurface::sample() with curvature")->Apply(settings);

void by_tree(benchmark::State& state) {
  const DistanceRig& r = distance_rig();
  static const geometry::ExactDistance tree(r.cavity);
  std::size_t i = 0;
  for (auto _ : state) benchmark::DoNotOptimize(tree.distance(r.points[i++ % r.points.size()]));
  state.SetLabel(fmt::format("{} triangles", r.cavity.faces.size()));
}
BENCHMARK(by_tree)->Name("distance, CGAL AABB tree of the cavity")->Apply(settings);

}  // namespace
