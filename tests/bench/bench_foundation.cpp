// Contact of the foot as it rests in the box, by our assembly and by Simbody's elastic foundation: the same skin, the
// same rigid box up to the same height, the same springs of a uniform layer, no friction. A library's springs stand on
// whole triangles; ours on their share that faces the wall, which is one reason why forces differ.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <map>
#include <memory>

#include "aplomb/contact/system.h"
#include "aplomb/shoe/meshes.h"
#include "aplomb/stance/stand.h"
#include "findings/posed.h"
#include "sample.h"
#include "simbody_foundation.h"

namespace {

using namespace aplomb;
using namespace aplomb::bench;
using geometry::Vec3;

constexpr double spring_MPa_per_mm = 1.33 / 6;  // the default sole of a toe
constexpr double thick_mm = 1e4;                // so thick that its law is straight
constexpr double beside_mm = 300;               // the box as a block reaches so far out

struct Rested {
  stance::Stance stance;
  contact::Problem problem;  ///< its flesh a uniform layer
  double top_mm = 0;         ///< contact is asked for up to this height in S

  Rested() : stance(stand()), problem(*stance.problem) {
    for (auto& point : problem.points) {
      point.layer = {spring_MPa_per_mm * thick_mm, thick_mm};
      point.over.clear();
    }
    problem.pairs.clear();
    top_mm = stance.shoe->box.highest_cut_z() - 25;
  }
  static stance::Stance stand() {
    stance::StandOptions options;
    options.rigid_wall = true;
    return need(stance::stand(sample_foot(), std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(sample_shoe()))),
                              options));
  }
};

const Rested& rested() {
  static const Rested rested;
  return rested;
}

/// Pressing on the skin, N; and how many points do.
std::pair<Vec3, int> pressing(contact::System& system) {
  Vec3 force = Vec3::Zero();
  int count = 0;
  for (const auto& one : system.contacts(rested().stance.rest().q, contact::FrictionMode::none)) {
    if (one.against != contact::ContactState::Against::surface || one.position.z() > rested().top_mm) continue;
    force += one.normal_force_N;
    ++count;
  }
  return {force, count};
}

/// The box as a block with a hole: the inside of the cavity below its lid, outward from its rim, and closed below.
PlainMesh block() {
  const shoe::Shoe& shoe = *rested().stance.shoe;
  const geometry::TriMesh cavity = shoe::make_cavity(shoe, rested().top_mm - shoe.box.highest_cut_z());
  std::vector<Vec3> vertices = cavity.vertices;
  std::vector<std::array<int, 3>> faces;
  std::map<std::pair<int, int>, int> edges;  // directed
  for (const auto& f : cavity.faces) {
    bool lid = true;
    for (const int v : f) lid = lid && vertices[static_cast<std::size_t>(v)].z() > rested().top_mm - 1e-6;
    if (lid) continue;
    faces.push_back({f[0], f[2], f[1]});
    for (int k = 0; k < 3; ++k) ++edges[{faces.back()[k], faces.back()[(k + 1) % 3]}];
  }
  Vec3 middle = Vec3::Zero();
  int count = 0;
  std::map<int, int> after;  // along the rim
  for (const auto& [edge, times] : edges)
    if (!edges.contains({edge.second, edge.first})) {
      after[edge.first] = edge.second;
      middle += vertices[static_cast<std::size_t>(edge.first)];
      ++count;
    }
  middle /= count;
  std::map<int, int> outer;
  for (const auto& [at, next] : after) {
    Vec3 out = vertices[static_cast<std::size_t>(at)] - middle;
    out.z() = 0;
    outer[at] = static_cast<int>(vertices.size());
    vertices.push_back(middle + out.normalized() * beside_mm - Vec3(0, 0, beside_mm));
  }
  const int bottom = static_cast<int>(vertices.size());
  vertices.push_back(middle - Vec3(0, 0, 2 * beside_mm));
  for (const auto& [at, next] : after) {
    faces.push_back({next, at, outer[at]});
    faces.push_back({next, outer[at], outer[next]});
    faces.push_back({outer[next], outer[at], bottom});
  }
  // Only what is used: a mesh of theirs has no loose vertices.
  std::map<int, int> number;
  PlainMesh out;
  for (auto& f : faces) {
    for (int& v : f) {
      const auto [at, fresh] = number.try_emplace(v, static_cast<int>(out.vertices.size()));
      const Vec3& p = vertices[static_cast<std::size_t>(v)];
      if (fresh) out.vertices.push_back({p.x(), p.y(), p.z()});
      v = at->second;
    }
    out.faces.push_back(f);
  }
  return out;
}

PlainMesh skin() {
  const stance::Stance& stance = rested().stance;
  const auto posed = findings::pose_foot(stance, stance.rest());
  PlainMesh out;
  for (std::size_t v = 0; v < stance.foot->skin.vertices_F.size(); ++v) {
    const Vec3 p = posed.vertex_S(static_cast<int>(v));
    out.vertices.push_back({p.x(), p.y(), p.z()});
  }
  out.faces.assign(stance.foot->skin.faces.begin(), stance.foot->skin.faces.end());
  return out;
}

void settings(benchmark::internal::Benchmark* bench) {
  bench->Repetitions(10)->ReportAggregatesOnly()->UseRealTime()->Unit(benchmark::kMicrosecond);
}

void ours(benchmark::State& state) {
  contact::System system(rested().problem);
  const Eigen::VectorXd& q = rested().stance.rest().q;
  system.freeze(q);
  Eigen::VectorXd R;
  for (auto _ : state) system.assemble(q, 1, contact::FrictionMode::none, R, nullptr);
  const auto [force, count] = pressing(system);
  state.SetLabel(fmt::format("{} points press; {:.1f} N up", count, force.z()));
}
BENCHMARK(ours)->Name("forces of the foot in a rigid box, System::assemble()")->Apply(settings);

void ours_with_tangent(benchmark::State& state) {
  contact::System system(rested().problem);
  const Eigen::VectorXd& q = rested().stance.rest().q;
  system.freeze(q);
  Eigen::VectorXd R;
  Eigen::MatrixXd K;
  for (auto _ : state) system.assemble(q, 1, contact::FrictionMode::none, R, &K);
}
BENCHMARK(ours_with_tangent)->Name("the same with its tangent")->Apply(settings);

void library(benchmark::State& state) {
  SimbodyFoundation library(block(), skin(), spring_MPa_per_mm);
  const auto [x, y, z] = library.force_at(0);
  const Vec3 theirs(x, y, z);
  double up_mm = 0;
  for (auto _ : state) {
    up_mm = up_mm > 0 ? 0 : 1e-6;  // else it remembers
    benchmark::DoNotOptimize(library.force_at(up_mm));
  }
  contact::System system(rested().problem);
  system.freeze(rested().stance.rest().q);
  const Vec3 us = pressing(system).first;
  state.SetLabel(fmt::format("{:.1f} N up, {:+.1f} % of ours; off ours as a whole by {:.1f} %", theirs.z(),
                             100 * (theirs.z() / us.z() - 1), 100 * (theirs - us).norm() / us.norm()));
}
BENCHMARK(library)->Name("the same, Simbody's ElasticFoundationForce")->Apply(settings);

}  // namespace
