// An invented scene of simple solids: a foot of ellipsoids in a tapered cup. Proof of nothing but the drawing.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>

#include "aplomb/findings/findings.h"

namespace aplomb::report::test {

using geometry::Vec3;

/// Closed, wound outward.
inline void add_ellipsoid(geometry::TriMesh& mesh, const Vec3& centre, const Vec3& half, int around = 40,
                          int rows = 24) {
  const int base = static_cast<int>(mesh.vertices.size());
  for (int r = 0; r <= rows; ++r) {
    for (int k = 0; k < around; ++k) {
      const double u = 2 * geometry::pi * k / around, v = geometry::pi * r / rows;
      mesh.vertices.push_back(
          centre + half.cwiseProduct(Vec3(std::sin(v) * std::cos(u), std::sin(v) * std::sin(u), -std::cos(v))));
    }
  }
  for (int r = 0; r < rows; ++r) {
    for (int k = 0; k < around; ++k) {
      const int a = base + r * around + k, b = base + r * around + (k + 1) % around;
      mesh.faces.push_back({a, b, b + around});
      mesh.faces.push_back({a, b + around, a + around});
    }
  }
}

/// Right foot: five toes, hallux on the + y side, a body above; pressure on the hallux' medial side only.
inline findings::Scene sample_scene() {
  findings::Scene scene;
  for (int toe = 0; toe < 5; ++toe)
    add_ellipsoid(scene.skin, {0, 22 - 11.0 * toe, 24}, {toe == 0 ? 9.0 : 7.0, toe == 0 ? 8.0 : 5.5, 22});
  const auto toes = scene.skin.vertices.size();
  add_ellipsoid(scene.skin, {0, 0, 110}, {26, 38, 80});
  scene.pressure_kPa.assign(scene.skin.vertices.size(), 0);
  for (std::size_t i = 0; i < toes; ++i)
    if (scene.skin.vertices[i].y() > 24) scene.pressure_kPa[i] = 240;
  // A cup open at the top: outer wall and inner wall.
  for (const double half : {44.0, 42.0}) {
    const int base = static_cast<int>(scene.shell.vertices.size()), around = 48;
    for (int r = 0; r <= 1; ++r)
      for (int k = 0; k < around; ++k) {
        const double u = 2 * geometry::pi * k / around, grow = r == 0 ? 0.6 : 1.0;
        scene.shell.vertices.push_back({0.7 * half * grow * std::cos(u), half * grow * std::sin(u), 70.0 * r});
      }
    for (int k = 0; k < around; ++k) {
      const int a = base + k, b = base + (k + 1) % around;
      const bool outer = half > 43;
      scene.shell.faces.push_back(outer ? std::array{a, b, b + around} : std::array{a, b + around, b});
      scene.shell.faces.push_back(outer ? std::array{a, b + around, a + around}
                                        : std::array{a, a + around, b + around});
    }
    if (half > 43)
      for (int k = 0; k < around; ++k) scene.platform_outline.push_back(scene.shell.vertices[base + k].head<2>());
  }
  add_ellipsoid(scene.sole, {-32, 0, 110}, {2, 20, 90});
  scene.centre_of_pressure = geometry::Vec2(3.75, -1.25);
  scene.ankle_centre = {7.25, -2.5, 170};
  scene.break_point = Vec3(-34, 0, 120);
  scene.arch_front = Vec3(-34, 0, 90);
  scene.arch_apex = Vec3(-34, 0, 118);
  scene.arch_back = Vec3(-33, 0, 150);
  return scene;
}

/// The same of the other foot.
inline findings::Scene mirrored(findings::Scene scene) {
  scene.side = scene.side == foot::Side::left ? foot::Side::right : foot::Side::left;
  for (geometry::TriMesh* mesh : {&scene.skin, &scene.shell, &scene.sole, &scene.upper}) {
    for (Vec3& p : mesh->vertices) p.y() = -p.y();
    for (auto& face : mesh->faces) std::swap(face[1], face[2]);
  }
  for (auto& p : scene.platform_outline) p.y() = -p.y();
  scene.centre_of_pressure->y() *= -1;
  scene.ankle_centre.y() *= -1;
  for (auto* p : {&scene.break_point, &scene.arch_front, &scene.arch_apex, &scene.arch_back})
    if (*p) (*p)->y() *= -1;
  return scene;
}

}  // namespace aplomb::report::test
