// Puts the findings of a stance together.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/findings/assess.h"

#include <fmt/format.h>

#include <algorithm>

#include "parts.h"

namespace aplomb::findings {

const std::vector<std::string>& limits() {
  static const std::vector<std::string> text{
      "The wall gives by ovalling in a few broad modes; dents, pleats and seams are not in it.",
      "Squeezed tissue does not bulge sideways, and layers act only in series; peak pressure may be off by about 12 %.",
      "Nothing changes with time: no warming, no creep, no wear during the session.",
      "The shank bends in one plane only; its twist is not shown.",
      "One slow path into the shoe and onto pointe; how the foot went in changes what friction holds.",
      "Several constants (tissue, joints, wall, shank) are engineering guesses that vary from person to person and "
      "shoe to shoe.",
      "An estimate to talk over and to narrow the choice, never a clearance to dance on pointe."};
  return text;
}

namespace {

/// Depth is told of a foot without weight; what let it down is not.
void forget_sink(Findings& out) {
  out.sink_mm = out.slide_mm = out.tissue_mm = out.curl_mm = {};
  for (ToeFindings& toe : out.toes) toe.sink_mm = toe.slide_mm = toe.tissue_mm = toe.curl_mm = toe.bend_deg = {};
}

void find_all(const PosedFoot& seated, const PosedFoot& rest, Findings& out) {
  const stance::Applies applies = stance::applies(rest.stance->position);
  if (applies.depth || applies.sink) find_sink(seated, rest, out);
  if (!applies.sink) forget_sink(out);
  find_crowding(rest, out);
  if (applies.load) {
    find_bend(seated, rest, out);
    find_load_share(rest, out);
    find_pressure(rest, out);
    find_ankle_moment(rest, out);
  }
  out.break_point.applies = applies.break_point;
  if (applies.break_point) find_break(rest, out);
  out.plumb.applies = applies.plumb;
  if (applies.plumb) find_plumb(rest, out);
  if (applies.toe_room) find_toe_room(rest, out);
  if (applies.heel_slack) find_heel_slack(rest, out);
  find_cover(rest, out);
  find_wall_give(rest, out);
  if (applies.plumb) find_goes_in(seated, rest, out);
  if (applies.toe_room) find_goes_in_standing(out);
  const stance::Stance& stance = *rest.stance;
  if (stance.needed) {
    out.pointing_needed_deg = stance.needed->pointing_deg;
    out.moment_needed_Nm = stance.needed->moment_Nm;
  }
  if (stance.position == stance::Position::demi_pointe) out.rise = find_rise(rest);
  if (stance.way_down.empty()) return;
  out.way_down = find_heights(stance.way_down);
  for (const HeightFinding& height : *out.way_down)
    out.heel_slack_mm = std::min(*out.heel_slack_mm, height.heel_slack_mm);
}

}  // namespace

Findings assess(const stance::Stance& stance) {
  Findings out;
  out.side = stance.foot->side;
  out.position = stance::name(stance.position);
  out.template_hash = stance.foot->template_hash;
  out.constants_hash = stance::constants_hash(stance.constants);
  out.mass_kg = stance.mass_kg;
  out.load_N = stance.load_N;
  out.friction = stance.friction;
  out.solve_ms = stance.solve_ms;
  out.limits = limits();
  for (int k = 0; k < foot::toe_count; ++k) out.toes[k].name = foot::toe_names[k];

  const contact::Equilibrium& state = stance.path.loaded;
  out.converged = state.converged;
  out.reason = state.reason;
  out.force_balance_error = state.force_residual;
  if (!state.converged) {
    if (hopelessly_long(stance)) out.goes_in = false, out.reason = "the foot is far longer than the shoe";
    if (!stance.toes_outside.empty()) out.goes_in = false;
    return out;
  }

  const PosedFoot seated = pose_foot(stance, stance.path.seat);
  find_all(seated, pose_foot(stance, state), out);
  if (state.at_bone > 0)  // first: it is about this result, and a picture may not have room for all
    out.limits.insert(out.limits.begin(),
                      fmt::format("Soft tissue is pressed flat to the bone at {} of the skin's {} points: the "
                                  "pressure there, and a peak that takes it in, only say \"too much\".",
                                  state.at_bone, stance.problem->points.size()));

  if (stance.position == stance::Position::demi_pointe || stance.position == stance::Position::roll_down)
    out.limits.push_back(
        "On the ball of the foot the vamp is taken to bend with the sole: it presses the toe joints, but does not hold "
        "the instep.");

  if (!stance.path.settled) return out;
  const contact::Equilibrium& after = *stance.path.settled;
  if (!after.converged) {
    out.limits.push_back("The friction band is not known: the foot found no balance while its load was cycled (" +
                         after.reason + ").");
    return out;
  }
  if (!after.reason.empty()) out.limits.push_back("The friction band may be wider: " + after.reason + ".");
  Findings settled;
  find_all(seated, pose_foot(stance, after), settled);
  out.friction_band = friction_band(out, settled);
  return out;
}

}  // namespace aplomb::findings
