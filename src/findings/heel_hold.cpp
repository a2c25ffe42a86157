// Reads the bands of the upper.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "heel_hold.h"

namespace aplomb::findings {

namespace {

constexpr double slack_N = 0.5;  // a band under less does not bend a shank that anyone can feel [G]

}  // namespace

HeelHold heel_hold(const PosedFoot& posed) {
  HeelHold hold;
  const contact::Problem& problem = *posed.stance->problem;
  if (!problem.rod) return hold;
  for (std::size_t k = 0; k < problem.bands.size() && k < posed.state->bands.size(); ++k) {
    const contact::BandState& band = posed.state->bands[k];
    hold.held = hold.held || band.tension_N > slack_N;
    for (std::size_t i = 0; i < band.force_N.size(); ++i)
      if (problem.bands[k].path[i].on == contact::BandPoint::On::link) hold.force_N += band.force_N[i];
  }
  return hold;
}

}  // namespace aplomb::findings
