// What the foot tests share: the template, its shape model, the prior, and measuring by other code than the fit's.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <optional>
#include <string>

#include "../source_data.h"
#include "aplomb/foot/card.h"
#include "aplomb/foot/fit.h"
#include "aplomb/foot/measure.h"
#include "aplomb/geometry/polygon.h"
#include "aplomb/geometry/section.h"

namespace aplomb::foot::testing {

using namespace source_data;

inline const Sites& sites() { return *model().sites; }

/// A file of the data kept outside the project, or nothing with a line that says so.
inline std::optional<std::filesystem::path> shared_file(const std::string& name) {
  const char* folder = std::getenv("APLOMB_SHARED");
  const auto file = (folder != nullptr ? std::filesystem::path(folder)
                                       : std::filesystem::path(APLOMB_SOURCE_DIR).parent_path() / "shared") /
                    name;
  if (std::filesystem::exists(file)) return file;
  std::cout << "skipped: no " << name << " (set APLOMB_SHARED)\n";
  return std::nullopt;
}

/// The usual dimensions of a standing foot of this length.
inline Card usual_card(double length_mm) {
  Card card;
  card.numbers[foot_length] = length_mm;
  const Conditional usual = given_length(prior(), length_mm);
  for (std::size_t k = 0; k < usual.index.size(); ++k)
    card.numbers[usual.index[k]] = usual.mean[static_cast<Eigen::Index>(k)];
  // The mean of the patterns has no toe that ends at the length; the hallux is left to reach it.
  card.numbers[toe_length].reset();
  return card;
}

inline Shape shape_of(const Foot& foot) { return Eigen::Map<const Shape>(foot.shape.data()); }

/// The standing skin of a fitted foot.
inline geometry::TriMesh standing_mesh(const Foot& foot) {
  const Body body = body_at(model(), shape_of(foot));
  geometry::TriMesh mesh{.vertices = {}, .faces = foot.skin.faces};
  for (Eigen::Index v = 0; v < body.skin.cols(); ++v) mesh.vertices.push_back(body.skin.col(v));
  return mesh;
}

/// Tape round the largest loop where a plane cuts the mesh.
inline double tape(const geometry::TriMesh& mesh, const Vec3& point, const Vec3& normal) {
  double girth = 0;
  const Vec3 u = std::abs(normal.normalized().z()) < 0.9 ? Vec3::UnitZ() : Vec3::UnitX();
  for (const auto& line : geometry::plane_section(mesh, point, normal))
    girth = std::max(girth, geometry::hull_perimeter(geometry::flatten(line.points, point, u, normal)));
  return girth;
}

/// Extent along `direction` of the section at x, below z_max.
inline double extent_at(const geometry::TriMesh& mesh, double x, const Vec3& direction, double z_max) {
  double low = 1e9, high = -1e9;
  for (const auto& line : geometry::plane_section(mesh, Vec3(x, 0, 0), Vec3::UnitX()))
    for (const Vec3& p : line.points)
      if (p.z() < z_max) low = std::min(low, direction.dot(p)), high = std::max(high, direction.dot(p));
  return high - low;
}

/// Dimensions taken by sections and bounds of the standing mesh (geometry library), not by the fit's own measuring.
struct Taken {
  double length = 0, breadth = 0, heel_breadth = 0, instep = 0, ball_girth = 0, ankle_girth = 0;
};
inline Taken take(const geometry::TriMesh& mesh, double ball_medial_x, double ball_lateral_x) {
  Taken taken;
  double back = 1e9, front = -1e9;
  for (const Vec3& p : mesh.vertices)
    if (p.z() < 50) back = std::min(back, p.x()), front = std::max(front, p.x());
  taken.length = front - back;
  double low = 1e9, high = -1e9;
  // Medial and lateral extremes lie at different stations: extremes over all sections.
  for (double share = 0.5; share < 0.99; share += 0.005)
    for (const auto& line : geometry::plane_section(mesh, Vec3(back + share * taken.length, 0, 0), Vec3::UnitX()))
      for (const Vec3& p : line.points) low = std::min(low, p.y()), high = std::max(high, p.y());
  taken.breadth = high - low;
  taken.heel_breadth = extent_at(mesh, back + 0.16 * taken.length, Vec3::UnitY(), 40);
  double top = 0;
  for (const auto& line : geometry::plane_section(mesh, Vec3(back + 0.5 * taken.length, 0, 0), Vec3::UnitX()))
    for (const Vec3& p : line.points) top = std::max(top, p.z());
  taken.instep = top;
  const auto side_at = [&](double x, double sign) {
    Vec3 best(x, 0, 0);
    for (const auto& line : geometry::plane_section(mesh, Vec3(x, 0, 0), Vec3::UnitX()))
      for (const Vec3& p : line.points)
        if (sign * p.y() > sign * best.y()) best = p;
    return best;
  };
  const Vec3 medial = side_at(ball_medial_x, 1), lateral = side_at(ball_lateral_x, -1);
  taken.ball_girth = tape(mesh, medial, Vec3::UnitZ().cross(lateral - medial));
  taken.ankle_girth = tape(mesh, Vec3(0, 0, 112.0 / 240 * taken.length), Vec3::UnitZ());
  return taken;
}

}  // namespace aplomb::foot::testing
