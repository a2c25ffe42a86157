// Each field is a product of smooth windows in the template's coordinates (240 mm long), so nothing steps. What is
// about one toe moves that toe as a block; the skin weights blend at the webs.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shape_fields.h"

#include <algorithm>
#include <cmath>

namespace aplomb::foot {

using geometry::rad_per_deg;

double smooth_step(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return t * t * t * (t * (6 * t - 15) + 10);
}

namespace {

double rise(double x, double from, double to) { return smooth_step((x - from) / (to - from)); }
double fall(double x, double from, double to) { return 1 - rise(x, from, to); }

/// Station along a toe: 0 at the MTP joint, 1 at the tip.
double station(const ToeFrame& toe, const Vec3& x) { return (x - toe.root).dot(toe.along) / toe.length_mm; }

/// How far the toes lean at x for a lean of one radian: the integral of rise(x, from, to). All toes share it, as the
/// hallux presses the others aside: equal at equal x, so that the gaps between them stay [guess; dancers' deformity is
/// at toe level, from side pressure on all of them].
double lean_at(double x) {
  constexpr double from = 150, to = 185;
  const double t = std::clamp((x - from) / (to - from), 0.0, 1.0);
  return (to - from) * t * t * t * t * (t * (t - 3) + 2.5) + std::max(0.0, x - to);
}

/// Room made for a toe that grows broader: what lies medially of its ray moves medially by half of it, and so
/// laterally.
double made_way(const FieldAnatomy& a, int grown, double y) {
  constexpr double half_spacing = 11;  // no ray lies nearer to another
  return smooth_step((y - a.toe[grown].root.y()) / (2 * half_spacing) + 0.5) - 0.5;
}

}  // namespace

Vec3 body_field(const FieldAnatomy& a, int k, const Vec3& p) {
  const double x = p.x(), y = p.y(), z = p.z();
  const double below_leg = fall(z, 60, 95);
  if (k >= toe_breadth && k < toe_height) return {0, made_way(a, k - toe_breadth, y) * rise(x, 80, 160) * below_leg, 0};
  switch (k) {
    case ball_length:
      return {rise(x, 70, 165) * below_leg, 0, 0};
    case foot_breadth:
      return {0, y / a.foot_breadth_mm * rise(x, 60, 150) * below_leg, 0};
    case heel_breadth:
      return {0, (y - a.heel_middle_y) / a.heel_breadth_mm * fall(x, 50, 105) * fall(z, 34, 62), 0};
    case ball_girth:
      return {0, 0, 0.75 * rise(x, 100, 140) * fall(x, 190, 230) * rise(z, 12, 40)};
    case heel_ankle_girth: {
      // Out along the tape's plane, from nothing at the heel's lower edge to most at the bend, and a little to the
      // sides.
      const Vec3 line = a.ankle_bend - a.heel_low, from_heel = p - a.heel_low;
      const double reach = std::hypot(line.x(), line.z());
      const Vec3 out(line.x() / reach, 0, line.z() / reach);
      const double near_tape = fall(std::abs(out.x() * from_heel.z() - out.z() * from_heel.x()), 8, 45);
      const double up = smooth_step(out.dot(from_heel) / reach);
      return near_tape * up * (0.35 * out + Vec3(0, 0.4 * y / reach, 0));
    }
    case hallux_angle: {
      // The head of the first metatarsal goes medially as the hallux leans away: what lies beside it bulges, and
      // calipers and tape meet it. .2 mm a degree: the angle between the first two metatarsals grows by a quarter of a
      // degree for each [from memory, radiographs], over 60 mm, a little less to leave the second ray alone.
      const double beside_head = rise(x, 138, 172) * fall(x, 178, 212) * rise(y, 8, 36) * fall(z, 30, 60);
      return {0, -1.1 * rad_per_deg * lean_at(x) + 0.2 * beside_head, 0};
    }
    case ankle_girth:
      return Vec3(x - a.leg_middle.x(), y - a.leg_middle.y(), 0) * (rise(z, 75, 105) / a.ankle_girth_mm);
    case bimalleolar_breadth:
      return {0, (y - a.malleolus_middle_y) / a.bimalleolar_mm * rise(z, 30, 55) * fall(z, 80, 108) * fall(x, 85, 120),
              0};
    case lateral_malleolus_height:
      return {0, 0, rise(z, 8, 58) * fall(x, 70, 115)};
    case arch_height:
      // In proportion to the height, so that a low arch meets the floor and never passes it; the instep follows by two
      // thirds. The fall is long: a steeper one would fold the skin of a high arch.
      return {0, 0, 1.1 * rise(x, 40, 92) * fall(x, 98, 158) * rise(y, -35, 15) * z / a.navicular_mm * fall(z, 25, 95)};
    case instep_height:
      return {0, 0, rise(x, 80, 122) * fall(x, 126, 172) * z / a.instep_mm * fall(z, 65, 125)};
    default:
      return Vec3::Zero();
  }
}

Vec3 toe_field(const FieldAnatomy& a, int k, int toe, const Vec3& x) {
  const ToeFrame& frame = a.toe[toe];
  const double t = station(frame, x);
  if (k >= toe_length && k < toe_breadth) return toe == k - toe_length ? Vec3(frame.along * t) : Vec3::Zero();
  if (k >= toe_breadth && k < toe_height) {
    const int grown = k - toe_breadth;
    if (toe != grown) return frame.across * (toe < grown ? 0.5 : -0.5);
    return frame.across * ((x - frame.pad_middle).dot(frame.across) / frame.breadth_mm * rise(t, 0.05, 0.45));
  }
  if (k >= toe_height)
    return toe == k - toe_height ? Vec3(0, 0, x.z() / frame.height_mm * rise(t, 0.35, 0.7)) : Vec3::Zero();
  if (k == ball_girth) return body_field(a, k, x) * fall(t, 0.05, 0.5);  // runs out over the toe's root
  // Toes lengthen along the template's lines, not along those they lean to: a short hallux that leans far would meet a
  // long second toe. So the others lean a little more than it.
  if (k == hallux_angle && toe > 0) return 1.12 * body_field(a, k, x);
  // Everything else moves toes and body alike, as one warp of space: the gaps between toes cannot close. So toes narrow
  // with the foot; what a toe's own breadth should be, its own parameter puts right, and that makes room among the
  // others.
  return body_field(a, k, x);
}

double tissue_share(int k) {
  if (k == ball_girth || k == heel_ankle_girth || k == ankle_girth || k == heel_breadth) return 1;
  if (k >= toe_breadth) return 0.5;  // toes differ in bone and in flesh alike [guess]
  return 0;
}

}  // namespace aplomb::foot
