// Region and tissue thickness of every skin vertex.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/foot/foot.h"
#include "rig.h"
#include "tables.h"

namespace aplomb::template_tool {

/// Area-weighted unit normals.
std::vector<Vec3> vertex_normals(const std::vector<Vec3>& vertices, const std::vector<std::array<int, 3>>& faces);

foot::Region region_of(const Rig& rig, const Vec3& p, const Vec3& normal);

/// Thickness blended between the table's places by distance and direction of the skin, at least 1.5 mm and at most 0.95
/// of the way to the axis of the nearest bone.
std::vector<double> tissue_thickness(const Anatomy& anatomy, const std::vector<Vec3>& vertices,
                                     const std::vector<Vec3>& normals);

}  // namespace aplomb::template_tool
