// Shapes with known answers, for tests.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>

#include "aplomb/geometry/types.h"

namespace aplomb::geometry::test {

inline TriMesh box(const Vec3& low, const Vec3& high, const Vec3& offset = Vec3::Zero()) {
  TriMesh mesh;
  for (int i = 0; i < 8; ++i)
    mesh.vertices.push_back(offset +
                            Vec3(i & 1 ? high.x() : low.x(), i & 2 ? high.y() : low.y(), i & 4 ? high.z() : low.z()));
  const int quads[6][4] = {{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}};
  for (const auto& q : quads) {
    mesh.faces.push_back({q[0], q[1], q[2]});
    mesh.faces.push_back({q[0], q[2], q[3]});
  }
  return mesh;
}

/// Sphere about the origin by rings of latitude; vertex 0 is the pole at +z.
inline TriMesh sphere(double radius, int rings) {
  TriMesh mesh;
  const int around = 2 * rings;
  mesh.vertices.emplace_back(0, 0, radius);
  for (int i = 1; i < rings; ++i)
    for (int j = 0; j < around; ++j) {
      const double a = pi * i / rings, b = 2 * pi * j / around;
      mesh.vertices.push_back(radius * Vec3(std::sin(a) * std::cos(b), std::sin(a) * std::sin(b), std::cos(a)));
    }
  mesh.vertices.emplace_back(0, 0, -radius);
  const int last = static_cast<int>(mesh.vertices.size()) - 1;
  const auto at = [&](int i, int j) { return 1 + (i - 1) * around + j % around; };
  for (int j = 0; j < around; ++j) {
    mesh.faces.push_back({0, at(1, j), at(1, j + 1)});
    mesh.faces.push_back({last, at(rings - 1, j + 1), at(rings - 1, j)});
    for (int i = 1; i + 1 < rings; ++i) {
      mesh.faces.push_back({at(i, j), at(i + 1, j), at(i + 1, j + 1)});
      mesh.faces.push_back({at(i, j), at(i + 1, j + 1), at(i, j + 1)});
    }
  }
  return mesh;
}

}  // namespace aplomb::geometry::test
