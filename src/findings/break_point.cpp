// Where the shank breaks against the arch, along the sole as it lies in the shoe.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <vector>

#include "heel_hold.h"
#include "parts.h"

namespace aplomb::findings {

Vec2 rod_point(const contact::PosedRod& posed, double arc_mm) {
  const auto after = std::upper_bound(posed.arc_mm.begin(), posed.arc_mm.end(), arc_mm);
  const std::size_t k =
      std::clamp<std::size_t>(static_cast<std::size_t>(after - posed.arc_mm.begin()), 1, posed.arc_mm.size() - 1);
  const double u = (arc_mm - posed.arc_mm[k - 1]) / (posed.arc_mm[k] - posed.arc_mm[k - 1]);
  return (1 - u) * posed.node_xz[k - 1] + u * posed.node_xz[k];
}

void find_break(const PosedFoot& rest, Findings& out) {
  const stance::Stance& stance = *rest.stance;
  const foot::Foot& foot = *stance.foot;
  out.break_point = {};
  if (!stance.problem->rod) return;
  out.break_point.held = heel_hold(rest).held;
  if (!out.break_point.held) return;
  const contact::Rod& rod = *stance.problem->rod;
  const contact::PosedRod posed = contact::pose(rod, rest.state->q);
  const contact::BreakPoint bend = contact::break_point(rod, rest.state->q);
  out.break_point.bends_at_box = bend.bends_at_clamp;

  const Vec2 at = rod_point(posed, bend.arc_mm);

  // The midline as it lies now; its arc length runs from the heel. The break belongs to the nearest place on it.
  std::vector<double> arc{0};
  std::vector<Vec2> line;
  for (const foot::MidlinePoint& point : foot.plantar_midline) {
    const Vec3 x = rest.skin_point_S(point.face, point.barycentric);
    line.emplace_back(x.x(), x.z());
    if (line.size() > 1) arc.push_back(arc.back() + (line.back() - line[line.size() - 2]).norm());
  }
  double best = 1e18, s_break = 0;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const Vec2 d = line[i + 1] - line[i];
    const double t = std::clamp((at - line[i]).dot(d) / std::max(1e-12, d.squaredNorm()), 0.0, 1.0);
    const double distance = (at - line[i] - t * d).norm();
    if (distance < best) best = distance, s_break = arc[i] + t * (arc[i + 1] - arc[i]);
  }
  const double front = arc[foot.arch_front], apex = arc[foot.arch_apex], back = arc[foot.arch_back];
  out.break_point.front_offset_mm = front - s_break;
  out.break_point.apex_offset_mm = apex - s_break;
  out.break_point.back_offset_mm = back - s_break;
  out.break_point.arch_fraction = (front - s_break) / (front - back);
  out.break_point.width_mm = bend.width_mm;
}

}  // namespace aplomb::findings
