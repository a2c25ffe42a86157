// One distance to the box: the analytic surface beside CGAL's AABB tree on the meshed cavity.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <random>
#include <stdexcept>

#include "aplomb/geometry/exact.h"
#include "aplomb/geometry/mesh.h"
#include "aplomb/shoe/meshes.h"
#include "aplomb/shoe/shoe.h"

namespace {

using namespace aplomb;

struct Rig {
  shoe::Shoe shoe;
  geometry::TriMesh cavity;
  std::vector<geometry::Vec3> points;  ///< within 3 mm of the surface, where contact asks
};

const Rig& rig() {
  static const Rig rig = [] {
    const auto parameters = shoe::read_shoe(std::string(APLOMB_SOURCE_DIR) + "/meshes/shoes/parallel.toml");
    auto made = parameters ? shoe::make_shoe(*parameters) : io::Result<shoe::Shoe>(tl::unexpected(parameters.error()));
    if (!made) throw std::runtime_error(io::to_line(made.error()));
    Rig out{.shoe = std::move(*made), .cavity = {}, .points = {}};
    out.cavity = shoe::make_cavity(out.shoe);
    const auto box = geometry::bounds(out.cavity);
    std::mt19937 random(1);
    const auto uniform = [&](double from, double to) { return from + (to - from) * (random() / 4294967296.0); };
    geometry::SurfaceSample sample;
    while (out.points.size() < 4096) {
      const geometry::Vec3 x(uniform(box.min.x() - 3, box.max.x() + 3), uniform(box.min.y() - 3, box.max.y() + 3),
                             uniform(box.min.z() - 3, out.shoe.box.highest_cut_z()));
      if (out.shoe.box.sample(x, 3, sample) && std::abs(sample.gap_mm) <= 3) out.points.push_back(x);
    }
    return out;
  }();
  return rig;
}

void settings(benchmark::internal::Benchmark* bench) {
  bench->Repetitions(10)->ReportAggregatesOnly()->UseRealTime()->Unit(benchmark::kNanosecond);
}

void by_surface(benchmark::State& state) {
  const Rig& r = rig();
  geometry::SurfaceSample sample;
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(r.shoe.box.sample(r.points[i++ % r.points.size()], 3, sample));
    benchmark::DoNotOptimize(sample.gap_mm);
  }
}
BENCHMARK(by_surface)->Name("distance, BoxSurface::sample() with curvature")->Apply(settings);

void by_tree(benchmark::State& state) {
  const Rig& r = rig();
  static const geometry::ExactDistance tree(r.cavity);
  std::size_t i = 0;
  for (auto _ : state) benchmark::DoNotOptimize(tree.distance(r.points[i++ % r.points.size()]));
  state.SetLabel(fmt::format("{} triangles", r.cavity.faces.size()));
}
BENCHMARK(by_tree)->Name("distance, CGAL AABB tree of the cavity")->Apply(settings);

}  // namespace
