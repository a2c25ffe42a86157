// What the box covers and what room it leaves: wings, vamp, crown, the space above the toes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "aplomb/shoe/shoe.h"
#include "parts.h"
#include "wall.h"

namespace aplomb::findings {

namespace {

/// Dorsal skin counts as above a joint when it lies within this distance of it along the foot.
constexpr double crown_window_mm = 6;

/// Least gap to the box over the chosen contact points; nothing where the box does not reach.
template <class Choose>
Number least_gap(const PosedFoot& rest, Choose choose) {
  const stance::Stance& stance = *rest.stance;
  Number least;
  geometry::SurfaceSample sample;
  for (std::size_t i = 0; i < stance.foot->contact_points.size(); ++i) {
    if (!choose(static_cast<int>(i))) continue;
    const Vec3 x = rest.contact_point_S(static_cast<int>(i));
    if (least && wall_gap_at_least(rest, x) > *least) continue;
    if (!sample_wall(rest, x, 80.0, sample) || sample.cover < 0.5) continue;
    // Only what faces the wall above: skin that looks the same way as the wall does is on its far side.
    if (rest.contact_normal_S(static_cast<int>(i)).dot(sample.normal) >= 0) continue;
    if (!least || sample.gap_mm < *least) least = sample.gap_mm;
  }
  return least;
}

/// Skin of the dorsum just past the vamp's edge, against the box's inner surface as it would go on.
Number flesh_over_vamp(const PosedFoot& rest) {
  const shoe::BoxSurface& box = rest.stance->shoe->box;
  Number most;
  for (std::size_t i = 0; i < rest.stance->foot->contact_points.size(); ++i) {
    const Vec3 x = rest.contact_point_S(static_cast<int>(i));
    if (!at_vamp_edge(rest, static_cast<int>(i)) || x.z() <= box.cut_z(Vec2(x.x(), x.y()))) continue;
    const double out_mm = -box.nearest(x).gap_mm;
    if (!most || out_mm > *most) most = out_mm;
  }
  return most;
}

}  // namespace

bool at_vamp_edge(const PosedFoot& rest, int contact_point) {
  if (!rest.stance->shoe) return false;
  // On the ball the vamp bends with the sole, and the instep rises past it.
  const stance::Position position = rest.stance->position;
  if (position == stance::Position::demi_pointe || position == stance::Position::roll_down) {
    const foot::Foot& foot = *rest.stance->foot;
    const double joint_x = foot.landmarks.at("MThead2").position_F.x();
    if (rest.stance->problem->points[static_cast<std::size_t>(contact_point)].position_rest.x() <
        joint_x - stance::instep_behind_ball * foot.length_mm)
      return false;
  }
  constexpr double window_mm = 6, farthest_mm = 25;  // past that it is the instep, high over the vamp
  if (rest.stance->problem->points[static_cast<std::size_t>(contact_point)].normal_rest.z() < 0.3) return false;
  const Vec3 x = rest.contact_point_S(contact_point);
  const shoe::BoxSurface& box = rest.stance->shoe->box;
  return x.x() > 0 && std::abs(x.z() - box.cut_z(Vec2(x.x(), x.y()))) < window_mm &&
         box.nearest(x).gap_mm > -farthest_mm;
}

void find_cover(const PosedFoot& rest, Findings& out) {
  const stance::Stance& stance = *rest.stance;
  const foot::Foot& foot = *stance.foot;
  const shoe::ShoeParameters& p = stance.shoe->parameters;
  const double platform = stance.shoe->box.platform_z();

  out.wing_cover_medial_mm = platform + p.wing_medial_mm - rest.joint_centre_S("MTP1").z();
  out.wing_cover_lateral_mm = platform + p.wing_lateral_mm - rest.joint_centre_S("MTP5").z();

  out.flesh_over_vamp_mm = flesh_over_vamp(rest);

  for (int k = 0; k < foot::toe_count; ++k) {
    // The crease between toe and ball lies about two fifths along the first phalanx.
    const Vec3 head = rest.joint_centre_S(numbered("MTP", k));
    const Vec3 knuckle = rest.joint_centre_S(numbered(k == 0 ? "IP" : "PIP", k));
    const Vec3 crease = head + 0.4 * (knuckle - head);
    // The vamp's end straight above it on the dorsum; seen from the axis, a crease that lies low would look at the
    // sole.
    const double dorsum_x = stance.shoe->box.axis_x(platform + p.vamp_length_mm) + p.crown_height_mm / 2;
    out.vamp_cover_toe_mm[k] = stance.shoe->box.cut_z(Vec2(dorsum_x, crease.y())) - crease.z();
    if (!out.vamp_cover_mm || *out.vamp_cover_toe_mm[k] < *out.vamp_cover_mm)
      out.vamp_cover_mm = out.vamp_cover_toe_mm[k];

    const Vec3 head_F = foot.landmarks.at(numbered("MThead", k)).position_F;
    out.crown_gap_mm[k] = least_gap(rest, [&](int i) {
      const contact::SkinPoint& point = stance.problem->points[i];
      return point.normal_rest.z() > 0.5 && std::abs(point.position_rest.x() - head_F.x()) < crown_window_mm &&
             std::abs(point.position_rest.y() - head_F.y()) < crown_window_mm;
    });
    out.toes[k].gap_mm = least_gap(rest, [&](int i) {
      return static_cast<int>(foot.contact_points[i].region) == k && stance.problem->points[i].normal_rest.z() > 0.5;
    });
  }
}

}  // namespace aplomb::findings
