// Skin that no shape of the model has: found where the scan shows it, nowhere else, and kept.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>

#include "../source_data.h"
#include "aplomb/foot/build.h"
#include "aplomb/foot/fit.h"
#include "aplomb/foot/foot_file.h"
#include "aplomb/foot/measure.h"
#include "aplomb/foot/skin_offset.h"
#include "aplomb/geometry/exact.h"
#include "aplomb/scan/cloud.h"
#include "synthetic.h"

using namespace aplomb;
using namespace aplomb::scan;

namespace {

/// Lumps, mm outward, of so many mm's width.
struct Lump {
  Vec3 at;
  double height_mm, width_mm;
};
// Of feet that are known from looking at them: a bunion, a bump over the heel cord, a high instep, a hollow flank, a
// bony fifth metatarsal base.
const Lump lumps[] = {
    {{178, 42, 22}, 5, 14}, {{2, 0, 45}, 4, 12}, {{110, 8, 62}, 4, 20}, {{70, 32, 40}, -4, 20}, {{85, -36, 15}, 4, 12}};

/// A foot with lumps that the shape model has no number for, and its scan.
testing::Synthetic lumpy(std::uint64_t seed, double noise_mm, bool all) {
  testing::Synthetic out = testing::make_synthetic({.seed = seed, .points = 40000, .noise_mm = 0, .turned = false});
  const foot::Foot& was = out.as_scanned;
  std::vector<double> offset(was.skin.vertices_F.size(), 0);
  for (std::size_t v = 0; v < offset.size(); ++v)
    for (const Lump& lump : lumps) {
      const Vec3 at = lump.at * was.length_mm / 240;
      offset[v] +=
          lump.height_mm * std::exp(-(was.skin.vertices_F[v] - at).squaredNorm() / lump.width_mm / lump.width_mm);
    }
  foot::Body body = foot::body_of(was);
  body.skin += foot::vertex_normals(body.skin, was.skin.faces) *
               Eigen::Map<Eigen::VectorXd>(offset.data(), static_cast<Eigen::Index>(offset.size())).asDiagonal();
  for (std::size_t v = 0; v < offset.size(); ++v)
    out.as_scanned.skin.vertices_F[v] = body.skin.col(static_cast<Eigen::Index>(v));
  geometry::TriMesh mesh;
  for (const Vec3& p : out.as_scanned.skin.vertices_F) mesh.vertices.push_back(p);
  for (const auto& face : was.skin.faces)
    if (mesh.vertices[face[0]].z() < 100 && (all || mesh.vertices[face[0]].x() < 0.88 * was.length_mm))
      mesh.faces.push_back(face);
  const Cloud cloud = sample(mesh, 40000, seed);
  out.scan.mesh = {};
  std::uint64_t state = seed;
  for (const Vec3& p : cloud.points) {
    const auto random = [&state] {
      state = state * 6364136223846793005ULL + 1442695040888963407ULL;
      return static_cast<double>(state >> 11) * 0x1p-53 - 0.5;
    };
    out.scan.mesh.vertices.push_back(p + noise_mm * std::sqrt(12.0) * Vec3(random(), random(), random()));
  }
  out.scan.points_in_file = out.scan.mesh.vertices.size();
  return out;
}

double mean_off(const testing::Synthetic& truth, const ScanFit& fit) {
  const geometry::ExactDistance ruler({truth.as_scanned.skin.vertices_F, truth.as_scanned.skin.faces});
  double sum = 0;
  std::size_t count = 0;
  for (std::size_t v = 0; v < truth.seen.size(); v += 2)
    if (truth.seen[v] && truth.as_scanned.skin.vertices_F[v].z() < 95)
      sum += ruler.distance(truth.T_scan_foot.inverse() * fit.skin_F.vertices[v]), ++count;
  return sum / static_cast<double>(count);
}

}  // namespace

TEST_CASE("Lumps that the shape has no number for are followed, smoothly and without folds", "[scan][free_form]") {
  const auto [noise, goal] = GENERATE(std::pair(0.0, 0.5), std::pair(0.5, 1.0));
  const testing::Synthetic truth = lumpy(11, noise, true);
  const ScanFit fit = source_data::need(fit_scan(truth.scan, source_data::model(), source_data::prior()));
  REQUIRE(!fit.foot.skin_offset_mm.empty());
  const double mean = mean_off(truth, fit);
  fmt::print("result: five lumps of 4 and 5 mm, noise {} mm: {:.2f} mm off in the mean\n", noise, mean);
  CHECK(mean < goal);
  CHECK(fit.found.surface_mean_mm < goal + noise);
  for (std::size_t j = 0; j < fit.joints_F.size(); ++j)
    CHECK((fit.joints_F[j] - truth.as_scanned.joints[j].centre_F).norm() < 4);
  const geometry::TriMesh rest{fit.foot.skin.vertices_F, fit.foot.skin.faces};
  CHECK(geometry::examine(fit.skin_F).self_intersections == 0);
  const geometry::ExactReport report = geometry::examine(rest);
  CHECK(report.self_intersections == 0);
  CHECK(report.closed);
  CHECK(report.outward);
  for (std::size_t v = 0; v < fit.foot.skin.weights.size(); ++v) {
    double sum = 0;
    for (const double w : fit.foot.skin.weights[v]) {
      REQUIRE(w >= 0);
      sum += w;
    }
    REQUIRE(sum == Approx(1));
    REQUIRE(fit.foot.skin.thickness_mm[v] > 0.5);
  }
  // F still begins at the heel and stands on the floor.
  const foot::Foot standing = foot::foot_under(source_data::model(), foot::build_of(fit.foot), foot::Load::standing);
  const auto low = foot::body_of(standing).skin.rowwise().minCoeff().eval();
  CHECK(std::abs(low.x()) < 1);
  CHECK(std::abs(low.z()) < 0.5);
}

TEST_CASE("A foot file keeps the skin that the scan showed", "[scan][free_form]") {
  const ScanFit fit = source_data::need(fit_scan(lumpy(12, 0, true).scan, source_data::model(), source_data::prior()));
  const auto file = std::filesystem::temp_directory_path() / "aplomb_test_free_form.foot.json";
  REQUIRE(foot::write_foot_file(fit.foot, file));
  const foot::Foot back = source_data::need(foot::read_foot_file(file, source_data::model().mean));
  std::filesystem::remove(file);
  CHECK(back.skin_offset_mm == fit.foot.skin_offset_mm);
  double most = 0;
  for (std::size_t v = 0; v < back.skin.vertices_F.size(); ++v)
    most = std::max(most, (back.skin.vertices_F[v] - fit.foot.skin.vertices_F[v]).norm());
  CHECK(most < 1e-9);
}

TEST_CASE("Skin that the scan does not show keeps to the shape", "[scan][free_form]") {
  const testing::Synthetic truth = lumpy(11, 0, false);
  ScanOptions options;
  options.side = foot::Side::right;
  options.load = foot::Load::standing;
  const ScanFit fit = source_data::need(fit_scan(truth.scan, source_data::model(), source_data::prior(), options));
  REQUIRE(!fit.foot.skin_offset_mm.empty());
  const testing::Synthetic whole = lumpy(11, 0, true);
  const ScanFit all = source_data::need(fit_scan(whole.scan, source_data::model(), source_data::prior(), options));
  for (std::size_t v = 0; v < fit.foot.skin_offset_mm.size(); ++v)
    if (truth.as_scanned.skin.vertices_F[v].x() > 0.97 * truth.as_scanned.length_mm)
      REQUIRE(std::abs(fit.foot.skin_offset_mm[v]) < 0.5);
  CHECK(fit.foot.measurements.at("toes.hallux.length_mm").sd > all.foot.measurements.at("toes.hallux.length_mm").sd);
}
