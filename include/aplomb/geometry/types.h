// Plain geometry types. Lengths mm, angles rad, forces N, pressures and moduli MPa (= N/mm^2), moments N mm: one
// consistent system inside the program. Files and reports use degrees, kPa and N m and say so in the name.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <array>
#include <numbers>
#include <vector>

namespace aplomb::geometry {

using Vec2 = Eigen::Vector2d;
using Vec3 = Eigen::Vector3d;
using Mat3 = Eigen::Matrix3d;
using Isometry = Eigen::Isometry3d;

inline constexpr double pi = std::numbers::pi;
inline constexpr double rad_per_deg = pi / 180.0;
inline constexpr double deg_per_rad = 180.0 / pi;

/// Triangle mesh; faces wound anticlockwise seen from outside.
struct TriMesh {
  std::vector<Vec3> vertices;
  std::vector<std::array<int, 3>> faces;
};

}  // namespace aplomb::geometry
