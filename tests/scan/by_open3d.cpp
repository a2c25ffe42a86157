// SPDX-License-Identifier: GPL-3.0-or-later
#include "by_open3d.h"

#include <open3d/geometry/KDTreeSearchParam.h>
#include <open3d/geometry/PointCloud.h>
#include <open3d/pipelines/registration/CorrespondenceChecker.h>
#include <open3d/pipelines/registration/Feature.h>
#include <open3d/pipelines/registration/Registration.h>
#include <open3d/pipelines/registration/TransformationEstimation.h>
#include <open3d/utility/Random.h>

#include "../source_data.h"
#include "aplomb/geometry/exact.h"
#include "aplomb/scan/cloud.h"

namespace o3d = open3d;
namespace reg = open3d::pipelines::registration;

namespace aplomb::scan::testing {

namespace {

std::shared_ptr<o3d::geometry::PointCloud> cloud_of(const std::vector<Vec3>& points) {
  auto cloud = std::make_shared<o3d::geometry::PointCloud>(points);
  auto down = cloud->VoxelDownSample(4.0);
  down->EstimateNormals(o3d::geometry::KDTreeSearchParamHybrid(10, 30));
  return down;
}

}  // namespace

std::vector<Vec3> by_open3d(const Synthetic& truth, const Recipe& recipe) {
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

double mean_distance(const std::vector<Vec3>& vertices, const Synthetic& truth) {
  const geometry::ExactDistance ruler({truth.as_scanned.skin.vertices_F, truth.as_scanned.skin.faces});
  double sum = 0;
  std::size_t count = 0;
  for (std::size_t v = 0; v < truth.seen.size(); v += 4)
    if (truth.seen[v]) sum += ruler.distance(vertices[v]), ++count;
  return sum / static_cast<double>(std::max<std::size_t>(1, count));
}

std::vector<Vec3> in_true_frame(std::vector<Vec3> placed, const Synthetic& truth, bool left) {
  for (Vec3& p : placed) {
    p = truth.T_scan_foot.inverse() * Vec3(p.x(), left ? -p.y() : p.y(), p.z());
    if (left) p.y() = -p.y();
  }
  return placed;
}

}  // namespace aplomb::scan::testing
