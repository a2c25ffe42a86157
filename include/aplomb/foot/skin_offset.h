// Skin that lies off the shape model's by an amount at each vertex, as a scan shows it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "aplomb/foot/shape.h"

namespace aplomb::foot {

/// The most that skin may lie off the shape model's, mm.
inline constexpr double most_skin_offset_mm = 30;

/// Outward unit normals at the vertices, of the faces round each by area: 3 x V.
Eigen::Matrix3Xd vertex_normals(const Eigen::Matrix3Xd& skin, const std::vector<std::array<int, 3>>& faces);

/// Which way skin is moved: unit normals, of the form without its relief, so that nails, creases and folds move as they
/// are: 3 x V.
Eigen::Matrix3Xd offset_directions(const Eigen::Matrix3Xd& skin, const std::vector<std::array<int, 3>>& faces);

/// Moves the skin of a standing body along offset_directions() by `offset_mm` (one for each vertex, + outward; empty:
/// nothing) and lays the whole body back into F: rearmost skin at the x and lowest skin at the z where they were.
void add_skin_offset(const std::vector<std::array<int, 3>>& faces, const std::vector<double>& offset_mm, Body& body);

}  // namespace aplomb::foot
