// The fit against a library's way: Open3D's global registration (FPFH features, RANSAC) and point-to-plane ICP of the
// mean template. The library is helped: unit, side and foot length are told to it, floors and second feet left out.
// CGAL is the ruler for both.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <open3d/geometry/KDTreeSearchParam.h>
#include <open3d/geometry/PointCloud.h>
#include <open3d/pipelines/registration/CorrespondenceChecker.h>
#include <open3d/pipelines/registration/Feature.h>
#include <open3d/pipelines/registration/Registration.h>
#include <open3d/pipelines/registration/TransformationEstimation.h>
#include <open3d/utility/Random.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "../source_data.h"
#include "aplomb/geometry/exact.h"
#include "aplomb/scan/cloud.h"
#include "synthetic.h"

using namespace aplomb;
using namespace aplomb::scan;
namespace o3d = open3d;
namespace reg = open3d::pipelines::registration;

namespace {

std::shared_ptr<o3d::geometry::PointCloud> cloud_of(const std::vector<Vec3>& points) {
  auto cloud = std::make_shared<o3d::geometry::PointCloud>(points);
  auto down = cloud->VoxelDownSample(4.0);
  down->EstimateNormals(o3d::geometry::KDTreeSearchParamHybrid(10, 30));
  return down;
}

/// The template at the true length, laid onto the scan; vertices in the scan's frame, mm.
std::vector<Vec3> by_open3d(const testing::Synthetic& truth, const testing::Recipe& recipe) {
  std::vector<Vec3> scan, mean;
  const bool left = recipe.side == foot::Side::left;
  for (const Vec3& p : sample(truth.scan.mesh, 30000, 1).points)
    scan.push_back(mm_per(recipe.unit) * Vec3(p.x(), left ? -p.y() : p.y(), p.z()));
  const double size = truth.as_scanned.length_mm / source_data::model().mean.length_mm;
  for (const Vec3& p : source_data::model().mean.skin.vertices_F) mean.push_back(size * p);
  const auto target = cloud_of(scan), source = cloud_of(mean);
  o3d::utility::random::Seed(1);
  const auto features = [](const o3d::geometry::PointCloud& cloud) {
    return *reg::ComputeFPFHFeature(cloud, o3d::geometry::KDTreeSearchParamHybrid(20, 100));
  };
  const reg::CorrespondenceCheckerBasedOnEdgeLength edges(0.9);
  const reg::CorrespondenceCheckerBasedOnDistance distance(6.0);
  const auto global =
      reg::RegistrationRANSACBasedOnFeatureMatching(*source, *target, features(*source), features(*target), true, 6.0,
                                                    reg::TransformationEstimationPointToPoint(false), 3,
                                                    {edges, distance}, reg::RANSACConvergenceCriteria(100000, 0.999));
  const auto fine =
      reg::RegistrationICP(*source, *target, 8.0, global.transformation_, reg::TransformationEstimationPointToPlane(),
                           reg::ICPConvergenceCriteria(1e-7, 1e-7, 60));
  const geometry::Isometry T(fine.transformation_);
  for (Vec3& p : mean) p = T * p;
  return mean;
}

double mean_distance(const std::vector<Vec3>& vertices, const testing::Synthetic& truth) {
  const geometry::ExactDistance ruler({truth.as_scanned.skin.vertices_F, truth.as_scanned.skin.faces});
  double sum = 0;
  std::size_t count = 0;
  for (std::size_t v = 0; v < truth.seen.size(); v += 4)
    if (truth.seen[v]) sum += ruler.distance(vertices[v]), ++count;
  return sum / static_cast<double>(std::max<std::size_t>(1, count));
}

}  // namespace

TEST_CASE("The library's way finds a turned foot that has the template's shape", "[scan][open3d]") {
  // A fair opponent: where the mean template is the foot, it has nothing to lose.
  const testing::Recipe recipe{.seed = 1, .points = 20000};
  testing::Synthetic truth = testing::make_synthetic(recipe);
  truth.as_scanned = source_data::model().mean;
  truth.scan.mesh.vertices.clear();
  for (const Vec3& p : truth.as_scanned.skin.vertices_F) truth.scan.mesh.vertices.push_back(truth.T_scan_foot * p);
  std::vector<Vec3> placed = by_open3d(truth, recipe);
  for (Vec3& p : placed) p = truth.T_scan_foot.inverse() * p;
  CHECK(mean_distance(placed, truth) < 0.5);
}

TEST_CASE("Against registering the mean template with Open3D", "[.][long][scan_open3d]") {
  std::vector<double> theirs, ours;
  for (std::uint64_t seed = 2001; seed < 2031; ++seed) {
    testing::Recipe recipe = testing::drawn_recipe(seed);
    recipe.floor = recipe.second_foot = recipe.flipped = false;
    const testing::Synthetic truth = testing::make_synthetic(recipe);
    std::vector<Vec3> placed = by_open3d(truth, recipe);
    // Back into the true foot's frame; a left foot was turned about after mirroring.
    const bool left = recipe.side == foot::Side::left;
    for (Vec3& p : placed) {
      p = truth.T_scan_foot.inverse() * Vec3(p.x(), left ? -p.y() : p.y(), p.z());
      if (left) p.y() = -p.y();
    }
    theirs.push_back(mean_distance(placed, truth));
    ScanOptions options;
    if (!recipe.sole) options.load = recipe.load;
    const auto fit = fit_scan(truth.scan, source_data::model(), source_data::prior(), options);
    ours.push_back(fit ? mean_distance(fit->skin_F.vertices, truth) : 99);
  }
  std::sort(theirs.begin(), theirs.end());
  std::sort(ours.begin(), ours.end());
  const auto row = [](const char* who, const std::vector<double>& d) {
    fmt::print(
        "result: {}: mean distance where seen (CGAL), {} scans: median {:.2f} mm, 90 % {:.2f} mm, greatest {:.2f} mm\n",
        who, d.size(), d[d.size() / 2], d[d.size() * 9 / 10], d.back());
  };
  row("fit with shape", ours);
  row("Open3D FPFH, RANSAC and ICP of the mean template, told unit, side and length", theirs);
  CHECK(ours[ours.size() / 2] < theirs[theirs.size() / 2]);
  CHECK(ours.back() < theirs.back());
}
