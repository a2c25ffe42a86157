// Shank and sole as rod elements.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "aplomb/shoe/shoe.h"

namespace aplomb::shoe {

namespace {

double mix(double a, double b, double t) {
  t = std::clamp(t, 0.0, 1.0);
  return a + (b - a) * t * t * (3 - 2 * t);
}

// Half breadth of the insole board. Proportions are an engineering guess: broad at the ball, a waist, the heel seat.
double insole_half_breadth(const ShoeParameters& p, double from_heel_mm, double rod_length_mm) {
  const double front = 0.36 * p.ball_breadth_mm, waist = 0.21 * p.ball_breadth_mm, heel = 0.42 * p.heel_seat_breadth_mm;
  const double f = from_heel_mm / rod_length_mm;
  constexpr double waist_at = 0.58, heel_at = 0.20;
  return f > waist_at ? mix(waist, front, (f - waist_at) / (1 - waist_at))
                      : mix(heel, waist, (f - heel_at) / (waist_at - heel_at));
}

// EI of a fresh, dry shoe.
double fresh_EI_Nm2(const ShoeParameters& p, double from_heel_mm, double rod_length_mm) {
  if (from_heel_mm < rod_length_mm - p.shank_length_mm) return p.sole_EI_Nm2;  // a cut shank ends before the heel
  const auto& table = p.shank_EI_table;
  if (table.empty()) return p.shank_EI_Nm2;
  if (from_heel_mm <= table.front().from_heel_mm) return table.front().EI_Nm2;
  for (std::size_t i = 1; i < table.size(); ++i)
    if (from_heel_mm <= table[i].from_heel_mm) {
      const StiffnessPoint &a = table[i - 1], &b = table[i];
      return a.EI_Nm2 + (b.EI_Nm2 - a.EI_Nm2) * (from_heel_mm - a.from_heel_mm) / (b.from_heel_mm - a.from_heel_mm);
    }
  return table.back().EI_Nm2;
}

}  // namespace

ShankSpec make_shank(const ShoeParameters& p, const BoxSurface& box, int elements) {
  ShankSpec shank;
  const double v = box.v_of_z(box.platform_z() + p.sole_edge_mm);
  const Vec3 start = box.wall_point(0.5, v).position_S, inward = box.wall_point(0.5, v).inward_S;
  shank.start_xz = {start.x(), start.z()};
  shank.start_angle_rad = std::atan2(-inward.z(), inward.x());  // the inward normal is (cos, -sin) in (x, z)
  shank.thickness_mm = p.sole_thickness_mm;

  const double length = p.inner_length_mm - p.sole_edge_mm, step = length / elements;
  const double left = stiffness_left(p);
  const bool has_zone = p.break_zone_to_mm > p.break_zone_from_mm;
  // Without a broken-in zone the pre-bend is spread over the middle third.
  const double bend_from = has_zone ? p.break_zone_from_mm : length / 3,
               bend_to = has_zone ? p.break_zone_to_mm : 2 * length / 3;
  for (int i = 0; i < elements; ++i) {
    // Mean compliance over the element: that is what its end-to-end bending sees.
    constexpr int parts = 16;
    double compliance = 0, bend_share = 0;
    for (int k = 0; k < parts; ++k) {
      const double from_heel = length - step * (i + (k + 0.5) / parts);
      double EI = left * fresh_EI_Nm2(p, from_heel, length);
      if (has_zone && from_heel > p.break_zone_from_mm && from_heel < p.break_zone_to_mm)
        EI *= 1 - p.break_zone_softening;
      compliance += 1 / (EI * parts);
    }
    const double rear = length - step * (i + 1), front = length - step * i;
    bend_share = std::max(0.0, std::min(front, bend_to) - std::max(rear, bend_from)) / (bend_to - bend_from);
    shank.element_length_mm.push_back(step);
    shank.EI_Nmm2.push_back(1e6 / compliance);
    shank.kappa0_per_mm.push_back(-p.prebend_deg * geometry::rad_per_deg * bend_share / step);
  }
  for (int i = 0; i <= elements; ++i)
    shank.half_breadth_mm.push_back(insole_half_breadth(p, length - step * i, length));
  return shank;
}

std::vector<Vec2> rest_line(const ShankSpec& shank) {
  std::vector<Vec2> line{shank.start_xz};
  double angle = shank.start_angle_rad;
  for (std::size_t i = 0; i < shank.element_length_mm.size(); ++i) {
    // Each element is an arc: its chord points along the mean angle and is shorter by sin(x)/x.
    const double turn = shank.kappa0_per_mm[i] * shank.element_length_mm[i], mean = angle + turn / 2;
    const double chord = shank.element_length_mm[i] * (std::abs(turn) < 1e-9 ? 1 : std::sin(turn / 2) / (turn / 2));
    line.push_back(line.back() + chord * Vec2(std::sin(mean), std::cos(mean)));
    angle += turn;
  }
  return line;
}

}  // namespace aplomb::shoe
