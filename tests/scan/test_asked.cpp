// What a user does with a fit beside waiting for it: watches it, stops it; and scans that are awkward though they are
// feet: another foot a hair beside, few points.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <atomic>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "../../src/scan/apart.h"
#include "../source_data.h"
#include "synthetic.h"

using namespace aplomb;
using namespace aplomb::scan;

namespace {

Cloud moved(const Cloud& cloud, const Vec3& by) {
  Cloud out = cloud;
  for (Vec3& p : out.points) p += by;
  return out;
}

void join(Cloud& cloud, const Cloud& other) {
  cloud.points.insert(cloud.points.end(), other.points.begin(), other.points.end());
  cloud.normals.insert(cloud.normals.end(), other.normals.begin(), other.normals.end());
}

/// A foot and its mirror image beside it, `gap_mm` between their inner sides, turned as the foot's own scan is.
RawScan pair_of(const testing::Synthetic& truth, double gap_mm) {
  const auto& skin = truth.as_scanned.skin;
  geometry::TriMesh mesh{skin.vertices_F, {}};
  double inner = -1e9;
  for (const auto& face : skin.faces)
    if (skin.vertices_F[face[0]].z() < 100) mesh.faces.push_back(face);
  for (const auto& face : mesh.faces)
    for (const int v : face) inner = std::max(inner, mesh.vertices[v].y());
  Cloud foot = sample(mesh, 60000, 1);
  RawScan scan;
  for (std::size_t i = 0; i < foot.points.size(); ++i) {
    const Vec3& p = foot.points[i];
    scan.mesh.vertices.push_back(truth.T_scan_foot * p);
    if (i % 4 != 0)  // seen less well than the one that was meant
      scan.mesh.vertices.push_back(truth.T_scan_foot * Vec3(p.x(), 2 * inner + gap_mm - p.y(), p.z()));
  }
  scan.points_in_file = scan.mesh.vertices.size();
  scan.file = "pair";
  return scan;
}

}  // namespace

TEST_CASE("A fit says how far it is, and stops where it is told to", "[scan]") {
  const testing::Synthetic truth = testing::make_synthetic({.seed = 5, .points = 6000, .noise_mm = 0.3});
  std::vector<double> steps;
  std::atomic<bool> cancel = false;
  double stop_at = 2;
  const io::Progress progress{[&](double fraction, std::string_view what) {
                                CHECK_FALSE(what.empty());
                                steps.push_back(fraction);
                                if (fraction >= stop_at) cancel = true;
                              },
                              &cancel};
  REQUIRE(fit_scan(truth.scan, source_data::model(), source_data::prior(), {}, progress));
  REQUIRE(steps.size() >= 5);
  for (std::size_t i = 1; i < steps.size(); ++i) CHECK(steps[i] > steps[i - 1]);
  CHECK(steps.front() >= 0);
  CHECK(steps.back() < 1);
  const double last = steps.back();
  for (const double step : std::vector<double>(steps)) {
    if (step == last) break;  // what is left then is the quick end
    steps.clear();
    cancel = false;
    stop_at = step;
    const auto stopped = fit_scan(truth.scan, source_data::model(), source_data::prior(), {}, progress);
    INFO("stopped at " << step);
    REQUIRE_FALSE(stopped);
    CHECK(stopped.error().kind == io::ErrorKind::cancelled);
    CHECK(steps.back() == step);  // nothing more was begun
  }
}

TEST_CASE("What hangs together is never taken apart, what does not is, along any line", "[scan][apart]") {
  Cloud ring;  // no plane goes through a ring without cutting it twice, nor between two linked ones
  for (int i = 0; i < 15000; ++i) {
    const double a = 2 * geometry::pi * i / 15000, b = i * 2.399963;
    ring.points.emplace_back((80 + 20 * std::cos(b)) * std::cos(a), (80 + 20 * std::cos(b)) * std::sin(a),
                             20 * std::sin(b));
    ring.normals.emplace_back(std::cos(b) * std::cos(a), std::cos(b) * std::sin(a), std::sin(b));
  }
  CHECK_FALSE(apart(ring));
  for (const Vec3& way : {Vec3(1, 0, 0), Vec3(0.48, -0.6, 0.64), Vec3(0, -1, 0)}) {
    // The ring reaches 100 across x and y, 20 along z: closed form of a torus' reach along any way.
    const double reach = 80 * std::hypot(way.x(), way.y()) + 20;
    Cloud two = ring;
    join(two, moved(ring, (2 * reach + 2.5) * way));
    const auto told = apart(two);
    INFO(way.transpose());
    REQUIRE(told);
    CHECK(told->first.points.size() == 15000);
    CHECK(told->second.points.size() == 15000);
    CHECK(told->first.normals.size() == 15000);
    if (way.cwiseAbs().maxCoeff() < 1) continue;  // aslant, another plane may go between rings whose shadows meet
    Cloud touching = ring;
    join(touching, moved(ring, (2 * reach - 0.5) * way));
    CHECK_FALSE(apart(touching));
  }
}

TEST_CASE("Another foot 2 mm beside the first is left out", "[scan][apart]") {
  const testing::Synthetic truth = testing::make_synthetic({.seed = 7, .points = 6000});
  const auto fit = source_data::need(fit_scan(pair_of(truth, 2), source_data::model(), source_data::prior()));
  CHECK(fit.found.side == foot::Side::right);
  CHECK(fit.found.parts == 2);
  CHECK(fit.foot.length_mm == Approx(truth.truth.length_mm).margin(1));
  CHECK(fit.foot.breadth_mm == Approx(truth.truth.breadth_mm).margin(1));
}

TEST_CASE("Scans of few points are not short", "[scan][sparse]") {
  // The outermost points of few lie well inside the skin's own; those of many noisy ones past it.
  double sum = 0, squares = 0;
  int count = 0;
  for (const double noise : {0.0, 0.6}) {
    for (std::uint64_t seed = 31; seed < 34; ++seed) {
      const testing::Synthetic truth = testing::make_synthetic({.seed = seed, .points = 3000, .noise_mm = noise});
      const auto fit = source_data::need(fit_scan(truth.scan, source_data::model(), source_data::prior()));
      const double off = fit.foot.length_mm - truth.truth.length_mm;
      fmt::print("3000 points, noise {} mm: length {:+.2f} mm, sd {:.2f}\n", noise, off,
                 fit.foot.measurements.at("foot_length_mm").sd);
      CHECK(std::abs(off) < 1);
      sum += off, squares += std::pow(off / fit.foot.measurements.at("foot_length_mm").sd, 2), ++count;
    }
  }
  CHECK(std::abs(sum / count) < 0.4);
  CHECK(squares / count < 4);
}
