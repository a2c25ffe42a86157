// The anatomy tables (meshes/anatomy) as plain data.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "aplomb/geometry/types.h"
#include "aplomb/io/error.h"

namespace aplomb::template_tool {

using geometry::Vec2;
using geometry::Vec3;

/// A row of joints.csv: a bone point, landmark or joint. Degrees; ranges as the table states them.
struct AnatomyPoint {
  Vec3 position_F = Vec3::Zero();
  Vec3 flex_axis_F = Vec3::Zero();    ///< zero when the row has none
  Vec3 second_axis_F = Vec3::Zero();  ///< zero when the row has none
  double rest_deg = 0, plantarflexion_deg = 0, dorsiflexion_deg = 0;
  double second_min_deg = 0, second_max_deg = 0;
};

/// Polar outline about a centre: radius k at 15 k degrees. Body: plane x = station, angle from +y toward +z. Shank:
/// plane z = station, angle from +x toward +y.
struct PolarSection {
  double station = 0;
  Vec3 centre_F = Vec3::Zero();
  double half_breadth_mm = 0;
  std::array<double, 24> radius_mm{};
};

/// Superellipse |v / half_breadth|^n + |w / half_height|^n = 1 across a toe; s along the toe's plan axis.
struct ToeSection {
  Vec3 centre_F = Vec3::Zero();
  Vec3 normal_F = Vec3::UnitX();
  double half_breadth_mm = 0, half_height_mm = 0, squareness = 2;
};

struct Anatomy {
  std::map<std::string, AnatomyPoint> points;
  std::vector<PolarSection> body, shank;
  std::array<std::vector<ToeSection>, 5> toes;
  std::map<std::string, double> thickness_mm;
  std::vector<Vec2> midline_xz;  ///< heel to the second toe, standing
};

/// Errors: missing file, missing column, a cell that is not a number.
io::Result<Anatomy> read_anatomy(const std::filesystem::path& folder);

}  // namespace aplomb::template_tool
