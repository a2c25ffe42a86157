// One distance to the box once more, by Open3D's closest point on the meshed cavity.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>
#include <fmt/format.h>
#include <open3d/core/Tensor.h>
#include <open3d/t/geometry/RaycastingScene.h>

#include <cmath>

#include "distance_rig.h"

namespace {

using namespace aplomb;
using namespace aplomb::bench;
using open3d::core::Tensor;

/// All places at once and on one thread: asked one by one it would spend its time on the asking.
void by_open3d(benchmark::State& state) {
  const DistanceRig& r = distance_rig();
  std::vector<float> corners;
  std::vector<std::uint32_t> triangles;
  for (const auto& v : r.cavity.vertices)
    for (int k = 0; k < 3; ++k) corners.push_back(static_cast<float>(v[k]));
  for (const auto& f : r.cavity.faces)
    for (const int v : f) triangles.push_back(static_cast<std::uint32_t>(v));
  open3d::t::geometry::RaycastingScene scene;
  scene.AddTriangles(Tensor(corners, {static_cast<std::int64_t>(corners.size() / 3), 3}, open3d::core::Float32),
                     Tensor(triangles, {static_cast<std::int64_t>(triangles.size() / 3), 3}, open3d::core::UInt32));
  std::vector<float> asked;
  for (const auto& p : r.points)
    for (int k = 0; k < 3; ++k) asked.push_back(static_cast<float>(p[k]));
  const auto count = static_cast<std::int64_t>(r.points.size());
  const Tensor queries(asked, {count, 3}, open3d::core::Float32);
  double off = 0;
  for (auto _ : state) {
    auto found = scene.ComputeClosestPoints(queries, 1);
    const float* point = found.at("points").GetDataPtr<float>();
    benchmark::DoNotOptimize(point);
    state.PauseTiming();
    off = 0;
    for (std::size_t i = 0; i < r.points.size(); ++i) {
      const geometry::Vec3 there(point[3 * i], point[3 * i + 1], point[3 * i + 2]);
      geometry::SurfaceSample sample;
      if (!r.shoe.box.sample(r.points[i], 3, sample)) continue;
      off = std::max(off, std::abs((there - r.points[i]).norm() - std::abs(sample.gap_mm)));
    }
    state.ResumeTiming();
  }
  state.SetLabel(
      fmt::format("{} places at once, one thread; farthest from BoxSurface::sample() {:.4f} mm", count, off));
}
BENCHMARK(by_open3d)
    ->Name("4096 distances, Open3D closest points on the cavity")
    ->Repetitions(10)
    ->ReportAggregatesOnly()
    ->UseRealTime()
    ->Unit(benchmark::kMicrosecond);

void by_surface(benchmark::State& state) {
  const DistanceRig& r = distance_rig();
  for (auto _ : state)
    for (const auto& point : r.points) {
      geometry::SurfaceSample sample;
      benchmark::DoNotOptimize(r.shoe.box.sample(point, 3, sample));
      benchmark::DoNotOptimize(sample.gap_mm);
    }
}
BENCHMARK(by_surface)
    ->Name("the same 4096, BoxSurface::sample() with gradient and curvature")
    ->Repetitions(10)
    ->ReportAggregatesOnly()
    ->UseRealTime()
    ->Unit(benchmark::kMicrosecond);

}  // namespace
