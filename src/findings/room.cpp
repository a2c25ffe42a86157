// Room in front of the toes and behind the heel.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "aplomb/shoe/shoe.h"
#include "parts.h"

namespace aplomb::findings {

void find_toe_room(const PosedFoot& rest, Findings& out) {
  const stance::Stance& stance = *rest.stance;
  const double platform = stance.shoe->box.platform_z();
  for (std::size_t i = 0; i < stance.foot->contact_points.size(); ++i) {
    const auto toe = static_cast<std::size_t>(stance.foot->contact_points[i].region);
    if (toe >= out.toes.size()) continue;
    const double room = rest.contact_point_S(static_cast<int>(i)).z() - platform;
    Number& least = out.toes[toe].room_mm;
    least = std::min(least.value_or(1e9), room);
  }
  for (const ToeFindings& toe : out.toes)
    if (toe.room_mm) out.toe_room_mm = std::min(out.toe_room_mm.value_or(1e9), *toe.room_mm);
}

void find_heel_slack(const PosedFoot& rest, Findings& out) {
  const stance::Stance& stance = *rest.stance;
  if (stance.position == stance::Position::on_box) {
    // Cloth between throat and seat that the heel does not take up can be pinched into a fold of half its length.
    for (std::size_t k = 0; k < stance.problem->bands.size(); ++k)
      if (const contact::Band& band = stance.problem->bands[k]; band.name == "drawstring")
        out.heel_slack_mm = (band.slack_mm - rest.state->bands[k].length_mm) / 2;
    return;
  }
  // Standing: from the rear end of the sole to the back of the heel, along the sole's end.
  const contact::PosedRod posed = contact::pose(*stance.problem->rod, rest.state->q);
  const Vec3 heel = rest.landmark_S("heel_back");
  out.heel_slack_mm = (posed.node_xz.back() - Vec2(heel.x(), heel.z())).dot(posed.tangent_xz.back());
}

}  // namespace aplomb::findings
