// Plane section of a mesh: one segment per face that is cut, linked through the edges they share.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/geometry/section.h"

#include <algorithm>
#include <cstdint>
#include <unordered_map>

namespace aplomb::geometry {

double length(const Polyline& line) {
  double sum = 0;
  for (std::size_t i = 1; i < line.points.size(); ++i) sum += (line.points[i] - line.points[i - 1]).norm();
  if (line.closed && line.points.size() > 1) sum += (line.points.front() - line.points.back()).norm();
  return sum;
}

namespace {

std::uint64_t edge_key(int a, int b) {
  const auto [low, high] = std::minmax(a, b);
  return (static_cast<std::uint64_t>(static_cast<std::uint32_t>(low)) << 32) | static_cast<std::uint32_t>(high);
}

struct Segment {
  std::uint64_t from, to;
};

}  // namespace

std::vector<Polyline> plane_section(const TriMesh& mesh, const Vec3& point, const Vec3& normal) {
  const Vec3 n = normal.normalized();
  std::vector<double> height(mesh.vertices.size());
  for (std::size_t i = 0; i < height.size(); ++i) height[i] = n.dot(mesh.vertices[i] - point);

  std::vector<Segment> segments;
  std::unordered_map<std::uint64_t, int> leaving;   // edge -> segment that starts there
  std::unordered_map<std::uint64_t, int> arriving;  // edge -> segment that ends there
  for (const auto& face : mesh.faces) {
    std::uint64_t down = 0, up = 0;
    bool cut = false;
    for (int k = 0; k < 3; ++k) {
      const int a = face[k], b = face[(k + 1) % 3];
      const bool a_above = height[a] >= 0, b_above = height[b] >= 0;
      if (a_above == b_above) continue;
      cut = true;
      (a_above ? down : up) = edge_key(a, b);
    }
    if (!cut) continue;
    // From the edge that goes down to the one that goes up: that keeps the solid on the left, seen against the normal.
    leaving[down] = arriving[up] = static_cast<int>(segments.size());
    segments.push_back({down, up});
  }

  const auto crossing = [&](std::uint64_t key) -> Vec3 {
    const int a = static_cast<int>(key >> 32), b = static_cast<int>(key & 0xffffffffu);
    const double t = height[a] / (height[a] - height[b]);
    return mesh.vertices[a] + t * (mesh.vertices[b] - mesh.vertices[a]);
  };

  std::vector<Polyline> lines;
  std::vector<char> done(segments.size(), 0);
  for (std::size_t s = 0; s < segments.size(); ++s) {
    if (done[s]) continue;
    int first = static_cast<int>(s);
    for (auto before = arriving.find(segments[first].from); before != arriving.end() && !done[before->second];
         before = arriving.find(segments[first].from)) {
      first = before->second;
      if (first == static_cast<int>(s)) break;
    }
    Polyline line;
    int at = first;
    while (true) {
      done[at] = 1;
      line.points.push_back(crossing(segments[at].from));
      const auto next = leaving.find(segments[at].to);
      if (next != leaving.end() && next->second == first) {
        line.closed = true;
        break;
      }
      if (next == leaving.end() || done[next->second]) {
        line.points.push_back(crossing(segments[at].to));
        break;
      }
      at = next->second;
    }
    lines.push_back(std::move(line));
  }
  return lines;
}

std::vector<Vec2> flatten(const std::vector<Vec3>& points, const Vec3& origin, const Vec3& u_axis, const Vec3& normal) {
  const Vec3 n = normal.normalized();
  const Vec3 u = (u_axis - n.dot(u_axis) * n).normalized();
  const Vec3 v = n.cross(u);
  std::vector<Vec2> flat;
  flat.reserve(points.size());
  for (const Vec3& p : points) flat.emplace_back(u.dot(p - origin), v.dot(p - origin));
  return flat;
}

}  // namespace aplomb::geometry
