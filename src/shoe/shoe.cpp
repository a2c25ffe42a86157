// Putting a shoe together from its parameters.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shoe/shoe.h"

#include <cmath>
#include <numeric>

namespace aplomb::shoe {

namespace {

UpperSpec make_upper(const ShoeParameters& p, const BoxSurface& box, const ShankSpec& shank) {
  UpperSpec upper;
  upper.throat_S = box.wall_point(0, box.cut_v(0)).position_S;
  upper.wing_medial_S = box.wall_point(0.25, box.cut_v(0.25)).position_S;
  upper.wing_lateral_S = box.wall_point(0.75, box.cut_v(0.75)).position_S;
  const auto line = rest_line(shank);
  double angle = shank.start_angle_rad;
  for (std::size_t i = 0; i < shank.kappa0_per_mm.size(); ++i)
    angle += shank.kappa0_per_mm[i] * shank.element_length_mm[i];
  upper.heel_seat_S = {line.back().x(), 0, line.back().y()};
  upper.back_seam_top_S = upper.heel_seat_S + p.back_seam_height_mm * Vec3(std::cos(angle), 0, -std::sin(angle));
  upper.slack_mm = (upper.back_seam_top_S - upper.throat_S).norm() + p.back_seam_height_mm - p.heel_tuck_mm;
  upper.stiffness_N_per_mm = p.upper_stiffness_N_per_mm;
  upper.drawstring_N = p.drawstring_N;
  upper.elastic_N = p.elastic_N;
  upper.ribbon_from_heel_mm = p.ribbon_from_heel_mm;
  return upper;
}

}  // namespace

io::Result<Shoe> make_shoe(const ShoeParameters& parameters) {
  if (auto good = check(parameters); !good) return tl::unexpected(good.error());
  auto box = BoxSurface::make(parameters);
  if (!box) return tl::unexpected(box.error());
  ShankSpec shank = make_shank(parameters, *box);
  UpperSpec upper = make_upper(parameters, *box, shank);
  const WallGive wall(*box);
  const Eigen::MatrixXd stiffness = wall_stiffness(parameters, *box, wall).sum();
  const VampSpec vamp = make_vamp(parameters, *box, wall);
  Shoe shoe{parameters, std::move(*box), {},  0, std::move(shank), std::move(upper), stiffness_left(parameters),
            wall,       stiffness,       vamp};
  // The outer shell is the inner surface moved along its normals, so both faces of the platform have the same flat.
  constexpr int corners = 192;
  for (int i = 0; i < corners; ++i)
    shoe.platform_outline.push_back(shoe.box.wall_point(i / static_cast<double>(corners), 0).position_S.head<2>());
  shoe.platform_area_mm2 = geometry::signed_area(shoe.platform_outline);
  return shoe;
}

double platform_margin(const Shoe& shoe, const Vec2& point_S) {
  return geometry::distance_to(shoe.platform_outline, point_S).distance_mm;
}

}  // namespace aplomb::shoe
