// Rounded ends, and for shafts a waist between them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bone_mesh.h"

#include <cmath>

namespace aplomb::report {

namespace {

using geometry::Vec3;

constexpr int around = 20, along = 24;
/// Of a shaft's middle against its ends [guess, for drawing].
constexpr double waist = 0.62;

/// Radius share at `t` from 0 to 1 along the whole body, whose ends are half balls of length `cap` (in the same unit).
double profile(double t, double cap, bool shaft) {
  const double from_end = std::min(t, 1 - t);
  const double ball = from_end < cap ? std::sqrt(std::max(0.0, 1 - std::pow(1 - from_end / cap, 2))) : 1;
  if (!shaft) return ball;
  const double middle = std::sin(geometry::pi * t);
  return ball * (1 - (1 - waist) * middle * middle);
}

void add(const findings::BoneShape& bone, geometry::TriMesh& mesh) {
  const Vec3 axis = bone.to - bone.from;
  if (axis.norm() < 1e-6) return;
  const Vec3 along_axis = axis.normalized();
  // Ends reach half a radius past the joints, as heads and bases do.
  const double over = 0.45 * bone.radius_mm, whole = axis.norm() + 2 * over;
  const Vec3 start = bone.from - over * along_axis;
  const Vec3 u = along_axis.unitOrthogonal(), w = along_axis.cross(u);
  const double cap = std::min(0.5, bone.radius_mm / whole);
  const int first = static_cast<int>(mesh.vertices.size());
  for (int row = 0; row <= along; ++row) {
    const double t = 0.5 - 0.5 * std::cos(geometry::pi * row / along);  // close rows at the ends
    const double radius = bone.radius_mm * profile(t, cap, bone.shaft);
    for (int k = 0; k < around; ++k) {
      const double turn = 2 * geometry::pi * k / around;
      mesh.vertices.push_back(start + t * whole * along_axis + radius * (std::cos(turn) * u + std::sin(turn) * w));
    }
  }
  for (int row = 0; row < along; ++row)
    for (int k = 0; k < around; ++k) {
      const int next = (k + 1) % around, low = first + row * around, high = low + around;
      mesh.faces.push_back({low + k, low + next, high + k});
      mesh.faces.push_back({low + next, high + next, high + k});
    }
}

}  // namespace

geometry::TriMesh bone_mesh(const std::vector<findings::BoneShape>& bones) {
  geometry::TriMesh mesh;
  for (const findings::BoneShape& bone : bones) add(bone, mesh);
  return mesh;
}

}  // namespace aplomb::report
