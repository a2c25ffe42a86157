// Smooth directions for smooth offsets: along the normals of a nail's edge, which point everywhere, skin would crumple.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/skin_offset.h"

namespace aplomb::foot {

namespace {

/// Averages with their neighbours; on the template's toes (edges of about 1 mm) these reach some 4 mm, a nail's fold.
constexpr int smoothing_rounds = 24;

}  // namespace

Eigen::Matrix3Xd vertex_normals(const Eigen::Matrix3Xd& skin, const std::vector<std::array<int, 3>>& faces) {
  Eigen::Matrix3Xd normals = Eigen::Matrix3Xd::Zero(3, skin.cols());
  for (const auto& [a, b, c] : faces) {
    const Vec3 p = skin.col(a), q = skin.col(b), r = skin.col(c);
    const Vec3 n = (q - p).cross(r - p);
    for (const int v : {a, b, c}) normals.col(v) += n;
  }
  for (Eigen::Index v = 0; v < normals.cols(); ++v) normals.col(v).normalize();
  return normals;
}

Eigen::Matrix3Xd offset_directions(const Eigen::Matrix3Xd& skin, const std::vector<std::array<int, 3>>& faces) {
  std::vector<double> area;
  area.reserve(faces.size());
  for (const auto& [a, b, c] : faces)
    area.push_back(Vec3(skin.col(b) - skin.col(a)).cross(Vec3(skin.col(c) - skin.col(a))).norm());
  Eigen::Matrix3Xd directions = vertex_normals(skin, faces);
  for (int round = 0; round < smoothing_rounds; ++round) {
    Eigen::Matrix3Xd sum = Eigen::Matrix3Xd::Zero(3, skin.cols());
    for (std::size_t f = 0; f < faces.size(); ++f) {
      const auto& [a, b, c] = faces[f];
      const Vec3 mean = area[f] * (directions.col(a) + directions.col(b) + directions.col(c));
      for (const int v : faces[f]) sum.col(v) += mean;
    }
    directions = sum.colwise().normalized();
  }
  return directions;
}

void add_skin_offset(const std::vector<std::array<int, 3>>& faces, const std::vector<double>& offset_mm, Body& body) {
  if (offset_mm.empty()) return;
  const Eigen::Vector3d low = body.skin.rowwise().minCoeff();
  const Eigen::Map<const Eigen::VectorXd> offset(offset_mm.data(), static_cast<Eigen::Index>(offset_mm.size()));
  body.skin += offset_directions(body.skin, faces) * offset.asDiagonal();
  Eigen::Vector3d back = low - body.skin.rowwise().minCoeff();
  back.y() = 0;
  body.skin.colwise() += back;
  body.joints.colwise() += back;
  body.landmarks.colwise() += back;
}

}  // namespace aplomb::foot
