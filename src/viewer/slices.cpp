// Sections of the meshes that are drawn: skin at the wall, box moved by what it gives, sole as bent.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "slices.h"

#include <cmath>
#include <numbers>

#include "aplomb/geometry/mesh.h"

namespace aplomb::viewer {

using geometry::Vec3;

Slice plane_of(const findings::Scene& scene, SliceAxis axis, double at_mm, double tilt_deg) {
  Slice slice;
  const geometry::Bounds bounds = geometry::bounds(scene.skin);
  // Within the plane of `normal` and `edge`, so that the edge moves toward the normal.
  const auto turn = [tilt_deg](Vec3& normal, Vec3& edge) {
    const double angle = tilt_deg * std::numbers::pi / 180, c = std::cos(angle), s = std::sin(angle);
    const Vec3 n = normal, e = edge;
    normal = c * n - s * e;
    edge = c * e + s * n;
  };
  const double medial = scene.side == foot::Side::left ? -1 : 1;
  if (axis == SliceAxis::across) {
    slice.normal = Vec3::UnitZ();
    slice.origin = at_mm * slice.normal;
    // As one looks down on it from above: the way she faces is up.
    slice.up = Vec3::UnitX();
    slice.right = -Vec3::UnitY();
    turn(slice.normal, slice.up);
    slice.low_mm = 0, slice.high_mm = bounds.max.z();
  } else {
    slice.normal = medial * Vec3::UnitY();
    slice.origin = at_mm * slice.normal;
    slice.up = Vec3::UnitZ();
    slice.right = Vec3::UnitX();
    turn(slice.normal, slice.right);
    const double low = medial > 0 ? bounds.min.y() : -bounds.max.y(),
                 high = medial > 0 ? bounds.max.y() : -bounds.min.y();
    slice.low_mm = low, slice.high_mm = high;
  }
  return slice;
}

Slice cut(const findings::Scene& scene, SliceAxis axis, double at_mm, double tilt_deg) {
  Slice slice = plane_of(scene, axis, at_mm, tilt_deg);
  const auto section = [&](const geometry::TriMesh& mesh) {
    return mesh.faces.empty() ? std::vector<geometry::Polyline>()
                              : geometry::plane_section(mesh, slice.origin, slice.normal);
  };
  slice.skin = section(scene.skin);
  slice.shell = section(scene.shell);
  slice.sole = section(scene.sole);
  slice.upper = section(scene.upper);
  return slice;
}

}  // namespace aplomb::viewer
