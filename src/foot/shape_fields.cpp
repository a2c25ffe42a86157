// Each field is a product of smooth windows in the template's coordinates (240 mm long), so nothing steps. Toes move as
// blocks that hang on their MTP joints: the skin weights do the blending at the webs.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shape_fields.h"

#include <algorithm>

namespace aplomb::foot {

using geometry::rad_per_deg;

double smooth_step(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return t * t * t * (t * (6 * t - 15) + 10);
}

namespace {

double rise(double x, double from, double to) { return smooth_step((x - from) / (to - from)); }
double fall(double x, double from, double to) { return 1 - rise(x, from, to); }

/// Toes lean together: when the hallux turns by one degree the others follow by these shares, so that it does not
/// turn into its neighbour [guess; dancers' deformity is at toe level, from side pressure on all of them].
constexpr std::array<double, toe_count> lean_share = {1.0, 0.95, 0.88, 0.80, 0.70};

/// Station along a toe: 0 at the MTP joint, 1 at the tip.
double station(const ToeFrame& toe, const Vec3& x) { return (x - toe.root).dot(toe.along) / toe.length_mm; }

Vec3 lean(const ToeFrame& toe, double share, const Vec3& x) {
  // One degree about the vertical through the joint, tip to the lateral side.
  return share * rad_per_deg * Vec3(x.y() - toe.root.y(), -(x.x() - toe.root.x()), 0);
}

/// A broader toe grows to both sides of its own axis, and its neighbours make room by half of it.
Vec3 broaden(const FieldAnatomy& a, int grown, int toe, const Vec3& x) {
  const ToeFrame& frame = a.toe[toe];
  const double t = station(frame, x);
  if (toe == grown)
    return frame.across * ((x - frame.pad_middle).dot(frame.across) / frame.breadth_mm * rise(t, 0.05, 0.45));
  return frame.across * ((toe < grown ? 0.5 : -0.5) * rise(t, 0.0, 0.4));
}

}  // namespace

Vec3 body_field(const FieldAnatomy& a, int k, const Vec3& p) {
  const double x = p.x(), y = p.y(), z = p.z();
  const double below_leg = fall(z, 60, 95);
  switch (k) {
    case ball_length: return {rise(x, 70, 165) * below_leg, 0, 0};
    case foot_breadth: return {0, y / a.foot_breadth_mm * rise(x, 60, 150) * below_leg, 0};
    case heel_breadth: return {0, (y - a.heel_middle_y) / a.heel_breadth_mm * fall(x, 50, 105) * fall(z, 34, 62), 0};
    case ball_girth: return {0, 0, 0.75 * rise(x, 100, 140) * fall(x, 190, 230) * rise(z, 12, 40)};
    case heel_ankle_girth:
      return Vec3(0.6, 0, 0.6) * (rise(x, 55, 90) * fall(x, 110, 150) * rise(z, 40, 75) * fall(z, 100, 135));
    case ankle_girth:
      return Vec3(x - a.leg_middle.x(), y - a.leg_middle.y(), 0) * (rise(z, 75, 105) / a.ankle_girth_mm);
    case bimalleolar_breadth:
      return {0, (y - a.malleolus_middle_y) / a.bimalleolar_mm * rise(z, 30, 55) * fall(z, 80, 108) * fall(x, 85, 120), 0};
    case lateral_malleolus_height: return {0, 0, rise(z, 8, 58) * fall(x, 75, 135)};
    case arch_height:
      // In proportion to the height, so that a low arch meets the floor and never passes it.
      return {0, 0,
              rise(x, 40, 92) * fall(x, 98, 158) * rise(y, -35, 15) * z / a.navicular_mm * fall(z, 40, 80)};
    case instep_height: return {0, 0, rise(x, 60, 110) * fall(x, 130, 172) * z / a.instep_mm * fall(z, 75, 110)};
    default: return Vec3::Zero();
  }
}

Vec3 toe_field(const FieldAnatomy& a, int k, int toe, const Vec3& x) {
  const ToeFrame& frame = a.toe[toe];
  const double t = station(frame, x);
  if (k >= toe_length && k < toe_breadth) return toe == k - toe_length ? Vec3(frame.along * t) : Vec3::Zero();
  if (k >= toe_breadth && k < toe_height) return broaden(a, k - toe_breadth, toe, x);
  if (k >= toe_height)
    return toe == k - toe_height ? Vec3(0, 0, x.z() / frame.height_mm * rise(t, 0.1, 0.5)) : Vec3::Zero();
  // Toes narrow with the foot as a whole, so that the gaps between them narrow in proportion and never close; what a toe's
  // own breadth should be, its own parameter puts right, and that makes room among the others.
  if (k == foot_breadth) return body_field(a, k, x);
  if (k == hallux_angle) return lean(frame, lean_share[toe], x);
  if (k == ball_girth) return body_field(a, k, x) * fall(t, 0.05, 0.5);  // runs out over the toe's root
  return body_field(a, k, frame.root);
}

double tissue_share(int k) {
  if (k == ball_girth || k == heel_ankle_girth || k == ankle_girth || k == heel_breadth) return 1;
  if (k >= toe_breadth) return 0.5;  // toes differ in bone and in flesh alike [guess]
  return 0;
}

}  // namespace aplomb::foot
