// Triangle meshes of a shoe, for drawing, printing and checks. Frame S, mm.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "aplomb/geometry/types.h"
#include "aplomb/shoe/shoe.h"

namespace aplomb::shoe {

using geometry::TriMesh;

struct MeshResolution {
  int around = 192;        ///< points round a section, a multiple of 4
  int rounding_rows = 10;  ///< rows in the rounded edge
  double row_mm = 2;       ///< height of the wall's rows
};

/// The stiff box as a solid: inner surface, outer surface, rim along the cut line. Closed, outward, printable.
/// The wall is wall_thickness_mm thick along the inner normal, the platform platform_thickness_mm; in the rounded edge
/// the one passes smoothly into the other.
TriMesh make_shell(const Shoe& shoe, const MeshResolution& resolution = {});

/// The space inside as a closed, outward mesh, up to a plane lid `past_cut_mm` above the highest point of the cut line
/// (the surface ends 43 mm above it).
TriMesh make_cavity(const Shoe& shoe, double past_cut_mm = 5, const MeshResolution& resolution = {});

/// Shank and sole as a closed ribbon of their thickness along `line_xz` (nodes in S from sole edge to heel, at rest or
/// bent; its upper face is the line). Pre: at least two nodes.
TriMesh make_sole(const Shoe& shoe, const std::vector<Vec2>& line_xz);

/// The fabric of the upper, an open surface on both sides of the foot from the cut line to the back seam, for
/// see-through drawing. The heel end follows `line_xz`; `back_seam_top_S` overrides where the seam's top stands (it
/// follows the heel).
TriMesh make_upper(const Shoe& shoe, const std::vector<Vec2>& line_xz,
                   const std::optional<Vec3>& back_seam_top_S = std::nullopt);

}  // namespace aplomb::shoe
