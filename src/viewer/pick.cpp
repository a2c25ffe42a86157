// A parallel ray against every triangle: twenty thousand take a fraction of a millisecond.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pick.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace aplomb::viewer {

using geometry::Vec2;
using geometry::Vec3;

namespace {

double distance_to(const findings::BoneShape& bone, const Vec3& p) {
  const Vec3 axis = bone.to - bone.from;
  const double t = std::clamp((p - bone.from).dot(axis) / std::max(axis.squaredNorm(), 1e-9), 0.0, 1.0);
  return (bone.from + t * axis - p).norm();
}

/// "proximal0" in the words of the toes.
std::string bone_words(const std::string& name) {
  constexpr std::array<const char*, 5> toes = {"big toe", "second toe", "third toe", "fourth toe", "little toe"};
  constexpr std::array<const char*, 5> rays = {"first", "second", "third", "fourth", "fifth"};
  const auto digit = static_cast<std::size_t>(name.empty() ? 0 : std::clamp(name.back() - '0', 0, 4));
  if (name.starts_with("ray")) return std::string(rays[digit]) + " metatarsal";
  if (name.starts_with("proximal")) return std::string(toes[digit]) + ", first bone";
  if (name.starts_with("middle")) return std::string(toes[digit]) + ", middle bone";
  if (name.starts_with("distal")) return std::string(toes[digit]) + ", end bone";
  if (name == "hindfoot") return "heel bone";
  if (name == "tibia") return "shin";
  if (name == "cuneiform") return "cuneiforms";
  return name;
}

std::string region_words(foot::Region region) {
  std::string words = foot::region_names[static_cast<int>(region)];
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

}  // namespace

std::optional<Pick> pick(const findings::Scene& scene, const report::Camera& camera, double x_px, double y_px) {
  std::vector<Vec2> flat;
  flat.reserve(scene.skin.vertices.size());
  for (const Vec3& vertex : scene.skin.vertices) flat.push_back(camera.project(vertex));
  const Vec2 p(x_px, y_px);
  double nearest = 1e9;
  std::array<int, 3> face{};
  Vec3 weights = Vec3::Zero();
  for (const auto& [a, b, c] : scene.skin.faces) {
    const Vec2 u = flat[b] - flat[a], v = flat[c] - flat[a], w = p - flat[a];
    const double area = u.x() * v.y() - u.y() * v.x();
    if (std::abs(area) < 1e-9) continue;
    const double s = (w.x() * v.y() - w.y() * v.x()) / area, t = (u.x() * w.y() - u.y() * w.x()) / area;
    if (s < 0 || t < 0 || s + t > 1) continue;
    const Vec3 at = (1 - s - t) * scene.skin.vertices[a] + s * scene.skin.vertices[b] + t * scene.skin.vertices[c];
    const double depth = camera.forward_S.dot(at);
    if (depth >= nearest) continue;
    nearest = depth;
    face = {a, b, c};
    weights = {1 - s - t, s, t};
  }
  if (nearest == 1e9) return std::nullopt;
  Pick pick;
  const auto mean = [&](const std::vector<double>& values) {
    double sum = 0;
    for (int k = 0; k < 3; ++k)
      if (!values.empty()) sum += weights[k] * values[static_cast<std::size_t>(face[static_cast<std::size_t>(k)])];
    return sum;
  };
  for (int k = 0; k < 3; ++k) pick.at += weights[k] * scene.skin.vertices[face[static_cast<std::size_t>(k)]];
  int heaviest = 0;
  weights.maxCoeff(&heaviest);
  if (!scene.region.empty()) pick.region = region_words(scene.region[face[static_cast<std::size_t>(heaviest)]]);
  pick.pressure_kPa = mean(scene.pressure_kPa);
  pick.gap_mm = mean(scene.gap_mm);
  pick.crowding_mm = mean(scene.crowding_mm);
  const auto closest = std::min_element(
      scene.bones.begin(), scene.bones.end(), [&](const findings::BoneShape& p1, const findings::BoneShape& p2) {
        return distance_to(p1, pick.at) - p1.radius_mm < distance_to(p2, pick.at) - p2.radius_mm;
      });
  if (closest != scene.bones.end()) {
    pick.bone = bone_words(closest->name);
    pick.depth_mm = distance_to(*closest, pick.at);
  }
  return pick;
}

}  // namespace aplomb::viewer
