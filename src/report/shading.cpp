// Corner normals with creases.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shading.h"

#include <algorithm>
#include <cmath>

namespace aplomb::report {

using geometry::Vec3;

DrawMesh draw_mesh(const geometry::TriMesh& mesh, const std::vector<double>& pressure_kPa,
                   const std::vector<double>& hollow_mm, double crease_deg) {
  struct Corner {
    int face;
    double angle;
  };
  std::vector<Vec3> normals(mesh.faces.size(), Vec3::Zero());
  std::vector<std::vector<Corner>> round(mesh.vertices.size());
  for (std::size_t f = 0; f < mesh.faces.size(); ++f) {
    const auto& face = mesh.faces[f];
    const Vec3 p[3] = {mesh.vertices[face[0]], mesh.vertices[face[1]], mesh.vertices[face[2]]};
    const Vec3 across = (p[1] - p[0]).cross(p[2] - p[0]);
    if (across.norm() < 1e-12) continue;
    normals[f] = across.normalized();
    for (int k = 0; k < 3; ++k) {
      const Vec3 a = (p[(k + 1) % 3] - p[k]).normalized(), b = (p[(k + 2) % 3] - p[k]).normalized();
      round[face[k]].push_back({static_cast<int>(f), std::acos(std::clamp(a.dot(b), -1.0, 1.0))});
    }
  }
  const double crease = std::cos(crease_deg * geometry::rad_per_deg);
  DrawMesh out;
  out.vertices.reserve(mesh.vertices.size());
  out.indices.reserve(3 * mesh.faces.size());
  struct Made {
    Vec3 normal;
    std::uint32_t index;
  };
  std::vector<std::vector<Made>> made(mesh.vertices.size());
  for (std::size_t f = 0; f < mesh.faces.size(); ++f) {
    if (normals[f].isZero()) continue;
    for (const int v : mesh.faces[f]) {
      Vec3 sum = Vec3::Zero();
      for (const Corner& corner : round[v])
        if (normals[corner.face].dot(normals[f]) >= crease) sum += corner.angle * normals[corner.face];
      const Vec3 normal = sum.norm() > 1e-12 ? sum.normalized() : normals[f];
      const auto same = std::find_if(made[v].begin(), made[v].end(),
                                     [&](const Made& m) { return (m.normal - normal).squaredNorm() < 1e-12; });
      if (same != made[v].end()) {
        out.indices.push_back(same->index);
        continue;
      }
      made[v].push_back({normal, static_cast<std::uint32_t>(out.vertices.size())});
      out.indices.push_back(made[v].back().index);
      const Eigen::Vector3f p = mesh.vertices[v].cast<float>(), n = normal.cast<float>();
      out.vertices.push_back({{p.x(), p.y(), p.z()},
                              {n.x(), n.y(), n.z()},
                              pressure_kPa.empty() ? 0.0f : static_cast<float>(pressure_kPa[v]),
                              hollow_mm.empty() ? 0.0f : static_cast<float>(hollow_mm[v])});
    }
  }
  return out;
}

std::vector<double> hollows_mm(const geometry::TriMesh& mesh) {
  // Diffusion: where edges are long each round does less, so that the reach is the same everywhere.
  constexpr int rounds = 14;
  constexpr double reach_mm = 4;
  std::vector<Vec3> normals(mesh.vertices.size(), Vec3::Zero()), smooth = mesh.vertices, next = smooth;
  std::vector<std::vector<int>> neighbours(mesh.vertices.size());
  std::vector<double> share(mesh.vertices.size(), 0);
  for (const auto& face : mesh.faces) {
    const Vec3 across =
        (mesh.vertices[face[1]] - mesh.vertices[face[0]]).cross(mesh.vertices[face[2]] - mesh.vertices[face[0]]);
    for (int k = 0; k < 3; ++k) {
      normals[face[k]] += across;
      neighbours[face[k]].push_back(face[(k + 1) % 3]);
    }
  }
  for (std::size_t v = 0; v < share.size(); ++v) {
    double squares = 0;
    for (const int n : neighbours[v]) squares += (mesh.vertices[n] - mesh.vertices[v]).squaredNorm();
    const double mean_square = squares / std::max<double>(1, static_cast<double>(neighbours[v].size()));
    share[v] = std::min(0.7, reach_mm * reach_mm / (rounds * std::max(mean_square, 1e-9)));
  }
  for (int round = 0; round < rounds; ++round) {
    for (std::size_t v = 0; v < smooth.size(); ++v) {
      if (neighbours[v].empty()) continue;
      Vec3 sum = Vec3::Zero();
      for (const int n : neighbours[v]) sum += smooth[n];
      next[v] = (1 - share[v]) * smooth[v] + share[v] * sum / static_cast<double>(neighbours[v].size());
    }
    smooth.swap(next);
  }
  std::vector<double> hollows;
  for (std::size_t v = 0; v < smooth.size(); ++v)
    hollows.push_back((smooth[v] - mesh.vertices[v]).dot(normals[v].normalized()));
  return hollows;
}

}  // namespace aplomb::report
