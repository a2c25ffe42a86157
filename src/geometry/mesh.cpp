// Area, volume, bounds and topology of a triangle mesh.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/geometry/mesh.h"

#include <algorithm>
#include <numeric>

namespace aplomb::geometry {

double area(const TriMesh& mesh) {
  double sum = 0;
  for (const auto& [a, b, c] : mesh.faces) {
    const Vec3& p = mesh.vertices[a];
    sum += 0.5 * (mesh.vertices[b] - p).cross(mesh.vertices[c] - p).norm();
  }
  return sum;
}

double volume(const TriMesh& mesh) {
  if (mesh.vertices.empty()) return 0;
  // Cones to a point of the mesh itself rather than to the origin: less cancellation for a small mesh far away.
  const Vec3 apex = mesh.vertices.front();
  double sum = 0;
  for (const auto& [a, b, c] : mesh.faces)
    sum += (mesh.vertices[a] - apex).dot((mesh.vertices[b] - apex).cross(mesh.vertices[c] - apex));
  return sum / 6;
}

Bounds bounds(const TriMesh& mesh) {
  Bounds box{mesh.vertices.front(), mesh.vertices.front()};
  for (const Vec3& p : mesh.vertices) {
    box.min = box.min.cwiseMin(p);
    box.max = box.max.cwiseMax(p);
  }
  return box;
}

namespace {

struct HalfEdge {
  int low, high, face;
  bool forward;  // runs from low to high
};

int root_of(std::vector<int>& parent, int i) {
  while (parent[i] != i) i = parent[i] = parent[parent[i]];
  return i;
}

}  // namespace

Topology topology(const TriMesh& mesh) {
  Topology result;
  const int vertex_count = static_cast<int>(mesh.vertices.size());
  const int face_count = static_cast<int>(mesh.faces.size());
  std::vector<HalfEdge> edges;
  edges.reserve(3 * mesh.faces.size());
  std::vector<char> used(mesh.vertices.size(), 0), good(mesh.faces.size(), 0);
  for (int f = 0; f < face_count; ++f) {
    const auto& face = mesh.faces[f];
    const bool in_range = std::all_of(face.begin(), face.end(), [&](int v) { return v >= 0 && v < vertex_count; });
    if (!in_range || face[0] == face[1] || face[1] == face[2] || face[2] == face[0]) {
      ++result.bad_faces;
      continue;
    }
    good[f] = 1;
    for (int k = 0; k < 3; ++k) {
      const int a = face[k], b = face[(k + 1) % 3];
      used[a] = 1;
      edges.push_back({std::min(a, b), std::max(a, b), f, a < b});
    }
  }
  std::sort(edges.begin(), edges.end(), [](const HalfEdge& l, const HalfEdge& r) {
    return std::tie(l.low, l.high, l.face) < std::tie(r.low, r.high, r.face);
  });
  std::vector<int> parent(mesh.faces.size());
  std::iota(parent.begin(), parent.end(), 0);
  int edge_count = 0;
  for (std::size_t i = 0; i < edges.size();) {
    std::size_t j = i + 1;
    while (j < edges.size() && edges[j].low == edges[i].low && edges[j].high == edges[i].high) ++j;
    ++edge_count;
    if (j - i == 1) ++result.boundary_edges;
    if (j - i > 2) ++result.non_manifold_edges;
    if (j - i == 2 && edges[i].forward == edges[i + 1].forward) ++result.flipped_edges;
    for (std::size_t k = i + 1; k < j; ++k) parent[root_of(parent, edges[k].face)] = root_of(parent, edges[i].face);
    i = j;
  }
  for (int f = 0; f < face_count; ++f) result.components += good[f] && root_of(parent, f) == f;
  const int used_count = static_cast<int>(std::count(used.begin(), used.end(), 1));
  result.euler = used_count - edge_count + face_count - result.bad_faces;
  return result;
}

}  // namespace aplomb::geometry
