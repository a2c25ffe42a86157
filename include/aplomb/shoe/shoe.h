// The shoe as the stance sees it: box surface, outline of the platform, shank as a rod, and the hold of the upper.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/geometry/polygon.h"
#include "aplomb/shoe/box_surface.h"
#include "aplomb/shoe/parameters.h"
#include "aplomb/shoe/vamp.h"
#include "aplomb/shoe/wall_give.h"

namespace aplomb::shoe {

/// Shank and sole as a planar rod in the x-z plane of S, from the box's sole edge (where it is clamped) to the rear of
/// the heel seat. The rod's line is the INNER face, which the plantar skin touches. Tangent (sin angle, cos angle) in
/// (x, z): 0 straight up the box, + leaning dorsal; curvature = d angle / d s, so a pointed arch bends it negative.
struct ShankSpec {
  Vec2 start_xz = Vec2::Zero();
  double start_angle_rad = 0;
  std::vector<double> element_length_mm;  ///< N
  std::vector<double> EI_Nmm2;            ///< N; wear, moisture and break zone already in
  std::vector<double> kappa0_per_mm;      ///< N; rest curvature (pre-bend)
  std::vector<double> half_breadth_mm;    ///< N + 1; half breadth of the insole at each node
  double thickness_mm = 0;                ///< for drawing, toward the sole side
};

/// The upper as two bands: one over the heel, throat - top of the back seam - heel seat, drawn by the drawstring; one
/// of ribbon and elastic from the sole to the front of the ankle.
struct UpperSpec {
  Vec3 throat_S = Vec3::Zero();       ///< inner surface, middle of the dorsum
  Vec3 wing_medial_S = Vec3::Zero();  ///< inner surface, wing ends
  Vec3 wing_lateral_S = Vec3::Zero();
  Vec3 back_seam_top_S = Vec3::Zero();  ///< in the empty shoe with its shank at rest
  Vec3 heel_seat_S = Vec3::Zero();      ///< rear end of the rod at rest
  double slack_mm = 0;                  ///< length throat - back seam top - heel seat there
  double stiffness_N_per_mm = 0;
  double drawstring_N = 0;
  double elastic_N = 0;
  double ribbon_from_heel_mm = 0;  ///< where ribbon and elastic are sewn, along the sole
};

struct Shoe {
  ShoeParameters parameters;
  BoxSurface box;
  geometry::Polygon platform_outline;  ///< flat of the platform's outer face in S (x, y), anticlockwise
  double platform_area_mm2 = 0;
  ShankSpec shank;
  UpperSpec upper;
  double stiffness_left = 1;  ///< of wall and shank, after wear and moisture
  WallGive wall;
  Eigen::MatrixXd wall_stiffness_N_per_mm;  ///< of the wall's amounts; wear and moisture in it
  VampSpec vamp;
};

/// Errors: check(parameters), or sections that cannot be made smooth. Takes some 10 ms; meshes are built apart
/// (meshes.h).
io::Result<Shoe> make_shoe(const ShoeParameters& parameters);

/// The rod with another number of elements (a solved curve must not depend on it). Pre: elements >= 4.
ShankSpec make_shank(const ShoeParameters& parameters, const BoxSurface& box, int elements = 28);

/// Nodes (x, z) of the rod at rest, elements + 1.
std::vector<Vec2> rest_line(const ShankSpec& shank);

/// Margin of a point of the floor against the platform: signed distance to its outline, + inside.
double platform_margin(const Shoe& shoe, const Vec2& point_S);

}  // namespace aplomb::shoe
