// Does she stand over the platform, and with what at the ankle.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "aplomb/contact/spring.h"
#include "aplomb/shoe/shoe.h"
#include "parts.h"

namespace aplomb::findings {

using U = stance::FootUnknowns;

void find_ankle_moment(const PosedFoot& rest, Findings& out) {
  const double angle = rest.state->q[U::ankle];
  for (const contact::JointSpring& spring : rest.stance->problem->springs)
    if (spring.dof == U::ankle)
      out.ankle_moment_Nm = -contact::tone_energy(spring, angle, spring.tone_target, 1).first / 1000.0;
}

void find_plumb(const PosedFoot& rest, Findings& out) {
  const stance::Stance& stance = *rest.stance;
  const Eigen::VectorXd& q = rest.state->q;
  const Vec3 ankle = rest.landmark_S("ankle_centre");
  out.plumb.fore_aft_mm = ankle.x();
  out.plumb.medial_mm = ankle.y();
  Vec2 cop = stance::centre_of_pressure(*stance.problem, *rest.state);
  out.plumb.cop_fore_aft_mm = cop.x();
  out.plumb.cop_medial_mm = cop.y();
  // On two feet the other foot answers for the frontal balance: only the fore-aft margin is judged.
  if (stance.position == stance::Position::full_pointe_two) cop.y() = 0;
  out.plumb.margin_mm = shoe::platform_margin(*stance.shoe, cop);
  out.plumb.gets_over = *out.plumb.margin_mm >= 0;

  find_ankle_moment(rest, out);
  out.plantarflexion_used_deg = stance::pointing_used_deg(q);
  out.plantarflexion_left_deg = stance.foot->plantarflexion_deg - *out.plantarflexion_used_deg;

  // Hindfoot in S as turns about z, then x, then y: R = Rz(a) Rx(b) Ry(c).
  const geometry::Mat3 R = rest.T_S_bone[foot::hindfoot].linear();
  const double b = std::asin(std::clamp(R(2, 1), -1.0, 1.0));
  const double a = std::atan2(-R(0, 1), R(1, 1));
  // About +x the ankle end (+z) leans to -y, lateral; about +z the dorsum (+x) turns to +y, medial. Both are told the
  // other way.
  out.side_roll_deg = -b * geometry::deg_per_rad;
  out.twist_deg = -a * geometry::deg_per_rad;
}

}  // namespace aplomb::findings
