// Closest points and rays on the skin by plain search: a few hundred queries on a few thousand faces.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "marks.h"

#include <fmt/format.h>

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace aplomb::template_tool {

namespace {

std::array<Vec3, 3> corners(const foot::Skin& skin, std::size_t f) {
  const auto& face = skin.faces[f];
  return {skin.vertices_F[static_cast<std::size_t>(face[0])], skin.vertices_F[static_cast<std::size_t>(face[1])],
          skin.vertices_F[static_cast<std::size_t>(face[2])]};
}

/// Barycentric coordinates of the point of a triangle closest to p.
Vec3 closest_barycentric(const Vec3& p, const std::array<Vec3, 3>& t) {
  const Vec3 n = (t[1] - t[0]).cross(t[2] - t[0]);
  const double n2 = n.squaredNorm();
  Vec3 b;
  for (std::size_t k = 0; k < 3; ++k)
    b[static_cast<int>(k)] = (t[(k + 2) % 3] - t[(k + 1) % 3]).cross(p - t[(k + 1) % 3]).dot(n) / n2;
  if (b.minCoeff() >= 0) return b / b.sum();
  double best = std::numeric_limits<double>::infinity();
  Vec3 result = Vec3::Zero();
  for (std::size_t k = 0; k < 3; ++k) {
    const Vec3 &a = t[k], edge = t[(k + 1) % 3] - a;
    const double s = std::clamp((p - a).dot(edge) / edge.squaredNorm(), 0.0, 1.0);
    const double d = (p - a - s * edge).squaredNorm();
    if (d >= best) continue;
    best = d;
    result.setZero();
    result[static_cast<int>(k)] = 1 - s;
    result[static_cast<int>((k + 1) % 3)] = s;
  }
  return result;
}

foot::MidlinePoint closest_place(const foot::Skin& skin, const Vec3& p) {
  foot::MidlinePoint place;
  double best = std::numeric_limits<double>::infinity();
  for (std::size_t f = 0; f < skin.faces.size(); ++f) {
    const auto t = corners(skin, f);
    const Vec3 b = closest_barycentric(p, t);
    const double d = (b[0] * t[0] + b[1] * t[1] + b[2] * t[2] - p).squaredNorm();
    if (d >= best) continue;
    best = d;
    place = {static_cast<int>(f), b};
  }
  return place;
}

/// Where the line from a point inside leaves the skin for the last time.
Vec3 outward(const foot::Skin& skin, const Vec3& from, const Vec3& direction) {
  double farthest = -1;
  for (std::size_t f = 0; f < skin.faces.size(); ++f) {
    const auto t = corners(skin, f);
    geometry::Mat3 m;
    m << t[1] - t[0], t[2] - t[0], -direction;
    if (std::abs(m.determinant()) < 1e-12) continue;
    const Vec3 s = m.inverse() * (from - t[0]);
    if (s[0] >= -1e-9 && s[1] >= -1e-9 && s[0] + s[1] <= 1 + 1e-9) farthest = std::max(farthest, s[2]);
  }
  if (farthest < 0) throw std::runtime_error("a landmark's line does not meet the skin");
  return from + farthest * direction;
}

Vec3 foremost(const foot::Skin& skin, foot::Region toe) {
  Vec3 tip(-1e9, 0, 0);
  for (std::size_t v = 0; v < skin.vertices_F.size(); ++v)
    if (skin.region[v] == toe && skin.vertices_F[v].x() > tip.x()) tip = skin.vertices_F[v];
  return tip;
}

}  // namespace

void mark_midline(const Anatomy& anatomy, foot::Foot& foot) {
  const auto& line = anatomy.midline_xz;
  double length = 0;
  for (std::size_t i = 1; i < line.size(); ++i) length += (line[i] - line[i - 1]).norm();
  const int count = static_cast<int>(std::lround(length / 2));
  const auto place = [&](const Vec2& xz) { return closest_place(foot.skin, {xz.x(), 0, xz.y()}); };
  std::vector<double> x;
  double walked = 0;
  std::size_t i = 1;
  for (int k = 0; k <= count; ++k) {
    const double wanted = length * k / count;
    while (i + 1 < line.size() && walked + (line[i] - line[i - 1]).norm() < wanted) {
      walked += (line[i] - line[i - 1]).norm();
      ++i;
    }
    const double t = std::min(1.0, (wanted - walked) / (line[i] - line[i - 1]).norm());
    const Vec2 p = line[i - 1] + t * (line[i] - line[i - 1]);
    foot.plantar_midline.push_back(place(p));
    x.push_back(p.x());
  }
  const auto nearest = [&](double wanted) {
    int best = 0;
    for (int k = 0; k <= count; ++k)
      if (std::abs(x[static_cast<std::size_t>(k)] - wanted) < std::abs(x[static_cast<std::size_t>(best)] - wanted))
        best = k;
    return best;
  };
  foot.arch_back = nearest(54);
  foot.arch_apex = nearest(98);
  foot.arch_front = nearest(150);
}

void mark_landmarks(const Anatomy& anatomy, foot::Foot& foot) {
  const auto at = [&](const std::string& id) { return anatomy.points.at(id).position_F; };
  const auto on_skin = [&](const std::string& name, int bone, const Vec3& from, const Vec3& direction) {
    foot.landmarks[name] = {bone, outward(foot.skin, from, direction)};
  };
  foot.landmarks["ankle_centre"] = {foot::talus, at("ankle")};
  on_skin("heel_back", foot::hindfoot, {40, 0, 27}, -Vec3::UnitX());
  on_skin("heel_back_upper", foot::hindfoot, {40, 0, 50}, -Vec3::UnitX());
  for (int k = 0; k < 5; ++k) {
    foot.landmarks[fmt::format("MThead{}", k + 1)] = {foot::ray0 + k, at(fmt::format("MTP{}", k + 1))};
    foot.landmarks[fmt::format("bonetip{}", k + 1)] = {foot::distal0 + k, at(fmt::format("bonetip{}", k + 1))};
    foot.landmarks[fmt::format("tip{}", k + 1)] = {foot::distal0 + k,
                                                   foremost(foot.skin, static_cast<foot::Region>(k))};
  }
  on_skin("lateral_malleolus", foot::tibia, at("lat_mall"), -Vec3::UnitY());
  on_skin("medial_malleolus", foot::tibia, at("med_mall"), Vec3::UnitY());
  on_skin("navicular_tuberosity", foot::midfoot, at("nav_tub"), Vec3::UnitY());
  on_skin("mt5_styloid", foot::ray4, at("mt5_sty"), -Vec3::UnitY());
  on_skin("instep", foot::midfoot, at("TMT2"), Vec3::UnitZ());
}

}  // namespace aplomb::template_tool
