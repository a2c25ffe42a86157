// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/skin_offset.h"

namespace aplomb::foot {

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

void add_skin_offset(const std::vector<std::array<int, 3>>& faces, const std::vector<double>& offset_mm, Body& body) {
  if (offset_mm.empty()) return;
  const Eigen::Vector3d low = body.skin.rowwise().minCoeff();
  const Eigen::Map<const Eigen::VectorXd> offset(offset_mm.data(), static_cast<Eigen::Index>(offset_mm.size()));
  body.skin += vertex_normals(body.skin, faces) * offset.asDiagonal();
  Eigen::Vector3d back = low - body.skin.rowwise().minCoeff();
  back.y() = 0;
  body.skin.colwise() += back;
  body.joints.colwise() += back;
  body.landmarks.colwise() += back;
}

}  // namespace aplomb::foot
