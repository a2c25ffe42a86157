// On the ball and on the way down: how high the heel is, what the toe joints have left, where heel and sole part.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <map>

#include "aplomb/contact/rod.h"
#include "aplomb/findings/assess.h"
#include "parts.h"

namespace aplomb::findings {

using U = stance::FootUnknowns;

namespace {

const char* words_of(stance::OnFloor on_floor) {
  switch (on_floor) {
    case stance::OnFloor::platform:
      return "platform";
    case stance::OnFloor::edge:
      return "edge";
    case stance::OnFloor::box:
      return "box";
    default:
      return "sole";
  }
}

double mtp_extension_deg(const PosedFoot& rest) { return -rest.state->q[U::mtp_flexion] * geometry::deg_per_rad; }

/// Where the sole is farthest from the skin over it: per stretch of the sole its nearest skin counts.
void find_shank_gap(const PosedFoot& rest, HeightFinding& out) {
  constexpr double stretch_mm = 8, band_mm = 60, middle_mm = 12;
  const contact::Problem& problem = *rest.stance->problem;
  const contact::PosedRod posed = contact::pose(*problem.rod, rest.state->q);
  std::map<int, double> nearest;
  for (const int i : problem.rod_contact.points) {
    const Vec3 x = rest.contact_point_S(i);
    if (std::abs(x.y()) > middle_mm) continue;
    const auto s = contact::sample(*problem.rod, posed, x, band_mm, band_mm, false);
    if (!s) continue;
    const auto [at, first] = nearest.emplace(static_cast<int>(s->arc_mm / stretch_mm), s->gap_mm);
    if (!first) at->second = std::min(at->second, s->gap_mm);
  }
  for (const auto& [stretch, gap] : nearest) {
    if (gap <= out.shank_gap_mm) continue;
    out.shank_gap_mm = gap;
    out.shank_gap_from_heel_mm = posed.arc_mm.back() - (stretch + 0.5) * stretch_mm;
  }
}

}  // namespace

double heel_height_mm(const PosedFoot& rest) {
  const Vec3 up = rest.stance->ground.up_S();
  double lowest = 1e9;
  for (std::size_t i = 0; i < rest.stance->foot->contact_points.size(); ++i)
    if (rest.stance->foot->contact_points[i].region == foot::Region::heel)
      lowest = std::min(lowest, up.dot(rest.contact_point_S(static_cast<int>(i))));
  return lowest - rest.stance->ground.floor_mm;
}

RiseFinding find_rise(const PosedFoot& rest) {
  RiseFinding rise;
  rise.heel_height_mm = heel_height_mm(rest);
  rise.mtp_extension_deg = mtp_extension_deg(rest);
  // Every toe joint has to let her; the first is told of.
  bool inside = true;
  for (int k = 0; k < foot::toe_count; ++k) {
    const auto mtp = static_cast<std::size_t>(foot::joint_index(*rest.stance->foot, numbered("MTP", k)));
    const double left =
        rest.state->q[U::mtp_flexion + k] * geometry::deg_per_rad - rest.stance->foot->joints[mtp].min_deg;
    if (k == 0) rise.mtp_left_deg = left;
    inside = inside && left >= 0;
  }
  rise.rolls_through = inside && !rest.stance->hold.at_limit;
  return rise;
}

std::vector<HeightFinding> find_heights(const std::vector<stance::Stance>& heights) {
  std::vector<HeightFinding> way;
  for (const stance::Stance& stance : heights) {
    const PosedFoot rest = pose_foot(stance, stance.rest());
    Findings of_height;
    find_pressure(rest, of_height);
    find_ankle_moment(rest, of_height);
    find_heel_slack(rest, of_height);
    HeightFinding height;
    height.on_floor = words_of(stance.on_floor);
    height.heel_height_mm = heel_height_mm(rest);
    height.heel_slack_mm = *of_height.heel_slack_mm;
    find_shank_gap(rest, height);
    height.mtp_extension_deg = mtp_extension_deg(rest);
    height.ankle_moment_Nm = *of_height.ankle_moment_Nm;
    height.peak_kPa = *of_height.peak_kPa;
    way.push_back(std::move(height));
  }
  return way;
}

}  // namespace aplomb::findings
