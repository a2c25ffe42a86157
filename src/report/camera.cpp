// Projection by hand and for OpenGL from the same three directions, so that marks drawn over a view meet it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/camera.h"

#include <algorithm>

namespace aplomb::report {

namespace {

Vec3 corner(const Extent& extent, int i) {
  return {i & 1 ? extent.high.x() : extent.low.x(), i & 2 ? extent.high.y() : extent.low.y(),
          i & 4 ? extent.high.z() : extent.low.z()};
}

}  // namespace

Extent extent_of(const std::vector<Vec3>& points) {
  Extent extent{points.front(), points.front()};
  for (const Vec3& p : points) {
    extent.low = extent.low.cwiseMin(p);
    extent.high = extent.high.cwiseMax(p);
  }
  return extent;
}

Extent extent_of(const findings::Scene& scene) {
  std::vector<Vec3> ends;
  for (const geometry::TriMesh* mesh : {&scene.skin, &scene.shell, &scene.sole, &scene.upper}) {
    if (mesh->vertices.empty()) continue;
    const Extent one = extent_of(mesh->vertices);
    ends.push_back(one.low);
    ends.push_back(one.high);
  }
  return ends.empty() ? Extent{} : extent_of(ends);
}

Vec2 Camera::project(const Vec3& p_S) const {
  const Vec3 d = p_S - target_S;
  return {width_px / 2 + d.dot(right_S()) / mm_per_px, height_px / 2 - d.dot(up_S) / mm_per_px};
}

Eigen::Matrix4d Camera::clip_S() const {
  Eigen::Matrix4d clip = Eigen::Matrix4d::Identity();
  const Vec3 rows[3] = {right_S() * 2 / (width_px * mm_per_px), up_S * 2 / (height_px * mm_per_px),
                        forward_S / depth_mm};
  for (int i = 0; i < 3; ++i) {
    clip.block<1, 3>(i, 0) = rows[i].transpose();
    clip(i, 3) = -rows[i].dot(target_S);
  }
  return clip;
}

Camera camera_for(Aspect aspect, foot::Side side) {
  const double medial = side == foot::Side::left ? -1 : 1;
  Camera camera;
  switch (aspect) {
    case Aspect::front:
      camera.forward_S = -Vec3::UnitX();
      break;
    case Aspect::inner_side:
      camera.forward_S = -medial * Vec3::UnitY();
      break;
    case Aspect::outer_side:
      camera.forward_S = medial * Vec3::UnitY();
      break;
    case Aspect::below:
      camera.forward_S = Vec3::UnitZ();
      break;
    case Aspect::above:
      camera.forward_S = -Vec3::UnitZ();
      break;
  }
  if (aspect == Aspect::below || aspect == Aspect::above) camera.up_S = Vec3::UnitX();
  return camera;
}

Camera fitted(Camera camera, const Extent& extent, double margin_px) {
  Vec2 low(1e300, 1e300), high(-1e300, -1e300);
  for (int i = 0; i < 8; ++i) {
    const Vec3 p = corner(extent, i);
    const Vec2 q(p.dot(camera.right_S()), p.dot(camera.up_S));
    low = low.cwiseMin(q);
    high = high.cwiseMax(q);
  }
  const Vec2 size = (high - low).cwiseMax(1.0);
  camera.mm_per_px =
      std::max(size.x() / (camera.width_px - 2 * margin_px), size.y() / (camera.height_px - 2 * margin_px));
  camera.target_S = (extent.low + extent.high) / 2;
  camera.depth_mm = (extent.high - extent.low).norm() + 10;
  return camera;
}

}  // namespace aplomb::report
