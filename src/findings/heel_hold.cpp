// Reads the band over the heel.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "heel_hold.h"

#include <cmath>

namespace aplomb::findings {

namespace {

constexpr double slack_N = 0.5;  // a band under less does not bend a shank that anyone can feel [G]

}  // namespace

HeelHold heel_hold(const PosedFoot& posed) {
  HeelHold hold;
  const contact::Problem& problem = *posed.stance->problem;
  if (!problem.tie || !problem.rod) return hold;
  const contact::HeelTie& tie = *problem.tie;
  const double tension_N = posed.state->tie_tension_N;
  hold.held = tie.tension_N > 0 || tension_N > slack_N;
  // The band pulls the heel toward throat and seat with the tension it carries; its length is smoothed where it is
  // nought, as in the solver.
  constexpr double rounding_mm2 = 0.01;
  const Vec3 heel = posed.T_S_bone[static_cast<std::size_t>(tie.link)] * tie.point_rest;
  const Vec2 end = contact::rear_end(contact::pose(*problem.rod, posed.state->q));
  for (const Vec3& to : {Vec3(tie.anchor - heel), Vec3(Vec3(end.x(), 0, end.y()) - heel)})
    hold.force_N += tension_N * to / std::sqrt(to.squaredNorm() + rounding_mm2);
  return hold;
}

}  // namespace aplomb::findings
