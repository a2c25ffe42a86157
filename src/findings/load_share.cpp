// Who carries the load: sums of force against gravity by what gives it, in percent of F, never normalised.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shoe/box_surface.h"
#include "heel_hold.h"
#include "parts.h"

namespace aplomb::findings {

void find_load_share(const PosedFoot& rest, Findings& out) {
  const stance::Stance& stance = *rest.stance;
  const Vec3 up_percent = 100.0 / stance.load_N * stance.ground.up_S();
  LoadShare share;
  LoadKind kind;
  std::array<double, foot::toe_count> toes{};
  for (const contact::ContactState& c : rest.state->contacts) {
    if (c.against == contact::ContactState::Against::skin) continue;  // inside the foot: carries nothing to the shoe
    const double normal = up_percent.dot(c.normal_force_N), rub = up_percent.dot(c.friction_force_N);
    if (c.against == contact::ContactState::Against::rod) {
      share.shank_heel += normal;
      kind.heel_and_shank += normal;
    } else {
      switch (static_cast<shoe::Zone>(c.zone)) {
        case shoe::Zone::platform:
          share.platform += normal + rub;
          break;
        case shoe::Zone::vamp:
          share.vamp += normal + rub;
          break;
        default:
          share.wall_normal += normal, share.wall_friction += rub;
      }
      kind.forefoot_normal += normal;
      kind.all_friction += rub;
    }
    const int region = static_cast<int>(stance.foot->contact_points[c.point].region);
    if (region < foot::toe_count) toes[region] += normal + rub;
  }
  const double heel = up_percent.dot(heel_hold(rest).force_N);
  share.shank_heel += heel;
  kind.heel_and_shank += heel;
  out.load_share = share;
  out.load_kind = kind;
  for (int k = 0; k < foot::toe_count; ++k) out.toes[k].load_share = toes[k];
}

}  // namespace aplomb::findings
