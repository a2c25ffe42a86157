// Tangential smoothing on the implicit surface.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <set>

#include "mesher.h"

namespace aplomb::template_tool {

namespace {

Vec3 gradient(const std::function<double(const Vec3&)>& f, const Vec3& p) {
  constexpr double h = 0.05;
  Vec3 g;
  for (int k = 0; k < 3; ++k) g[k] = (f(p + h * Vec3::Unit(k)) - f(p - h * Vec3::Unit(k))) / (2 * h);
  return g;
}

}  // namespace

void relax(TriMesh& mesh, const std::function<double(const Vec3&)>& f, double cut_height_mm, int rounds) {
  std::vector<std::set<int>> neighbours(mesh.vertices.size());
  for (const auto& face : mesh.faces)
    for (std::size_t k = 0; k < 3; ++k) {
      neighbours[static_cast<std::size_t>(face[k])].insert(face[(k + 1) % 3]);
      neighbours[static_cast<std::size_t>(face[k])].insert(face[(k + 2) % 3]);
    }
  for (int round = 0; round < rounds; ++round) {
    const std::vector<Vec3> before = mesh.vertices;
    for (std::size_t v = 0; v < before.size(); ++v) {
      if (before[v].z() > cut_height_mm - 0.5) continue;
      Vec3 middle = Vec3::Zero();
      for (const int n : neighbours[v]) middle += before[static_cast<std::size_t>(n)];
      middle /= static_cast<double>(neighbours[v].size());
      Vec3 g = gradient(f, before[v]);
      Vec3 p = before[v] + 0.5 * (middle - before[v]);
      p -= (p - before[v]).dot(g) / g.squaredNorm() * g;
      for (int newton = 0; newton < 3; ++newton) {
        g = gradient(f, p);
        p -= f(p) / g.squaredNorm() * g;
      }
      // On a crease the steps may not settle: the vertex then stays.
      if ((p - before[v]).norm() < 2 && std::abs(f(p)) < 0.01 && p.z() < cut_height_mm - 0.5) mesh.vertices[v] = p;
    }
  }
}

}  // namespace aplomb::template_tool
