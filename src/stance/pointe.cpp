// Builds full pointe from foot and shoe, and finds a start from which the foot can slide in.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pointe.h"

#include <algorithm>
#include <cmath>

#include "aplomb/contact/skin.h"
#include "foot_linkage.h"
#include "shoe_problem.h"

namespace aplomb::stance {

using contact::Problem;
using foot::Region;
using geometry::Mat3;
using geometry::rad_per_deg;
using geometry::Vec2;
using geometry::Vec3;
using U = FootUnknowns;

void aim_foot(Problem& problem, const foot::Foot& foot, const Constants& constants, const Aim& aim,
              const Balance& balance) {
  set_joint_springs(problem, pointe_springs(foot, constants, aim));
  problem.steering.clear();
  auto spring_of = [&](int dof) {
    return static_cast<int>(std::find_if(problem.springs.begin(), problem.springs.end(),
                                         [dof](const contact::JointSpring& s) { return s.dof == dof; }) -
                            problem.springs.begin());
  };
  if (balance.fore_aft) {
    contact::Steering steer{spring_of(U::ankle), U::tilt_y, balance.forward_S, 1, balance.at_mm};
    steer.min = -10 * rad_per_deg;
    steer.max = pointing_range(foot, constants).ankle;
    problem.steering.push_back(steer);
  }
  if (balance.frontal) {
    // A turn about +x is a turn about y x z: against z x y.
    contact::Steering steer{spring_of(U::subtalar), U::tilt_x, Vec3::UnitY(), -1, 0};
    steer.min = aim.subtalar - balance.steer;
    steer.max = aim.subtalar + balance.steer;
    problem.steering.push_back(steer);
  }
}

Eigen::VectorXd pointe_start(const Problem& problem, const foot::Foot& foot, const shoe::Shoe& shoe,
                             const Constants& constants, const Aim& aim) {
  Eigen::VectorXd q = pointed_posture(foot, constants, aim, problem.dof_count);

  // Turn the ankle so that the toes point straight down the box; she comes to her own command as she settles.
  auto toe_direction = [&] {
    const auto T = contact::pose(problem.linkage, q).T_world_link;
    const Vec3 tip = T[foot::distal1] * foot.landmarks.at("bonetip2").position_F;
    const foot::JointAxis& mtp = foot.joints[static_cast<std::size_t>(foot::joint_index(foot, "MTP2"))];
    const Vec3 d = tip - T[foot::ray1] * mtp.centre_F;
    return std::atan2(d.x(), -d.z());  // + when the tip lies dorsal of straight down
  };
  const double box_lean = std::tan(shoe.parameters.platform_tilt_deg * rad_per_deg);
  q[U::ankle] += toe_direction() + box_lean;

  // Over the middle of the box: forefoot centre on its axis, both ways.
  contact::SkinKinematics skin(problem);
  skin.pose(q);
  const auto T = skin.linkage().T_world_link;
  Vec3 heads = Vec3::Zero();
  for (int k = 0; k < foot::toe_count; ++k) {
    const foot::JointAxis& mtp =
        foot.joints[static_cast<std::size_t>(foot::joint_index(foot, "MTP" + std::to_string(k + 1)))];
    heads += T[static_cast<std::size_t>(foot::ray0 + k)] * mtp.centre_F / foot::toe_count;
  }
  double lowest = 1e9;
  for (int i : problem.surfaces[0].points) lowest = std::min(lowest, skin.position(i).z());
  const double floor = shoe.box.platform_z();
  const double ball_z = floor + shoe.parameters.ball_height_mm;
  q[U::slide_x] = box_lean * ball_z - heads.x();
  q[U::slide_y] = -heads.y();
  q[U::slide_z] = floor - lowest;

  // Raise the foot until no skin is pressed past a third of its thickness.
  const double down = q[U::slide_z];
  for (double lift = 0; lift <= 150; lift += 2) {
    q[U::slide_z] = down + lift;
    skin.pose(q);
    if (!pressed_past(1.0 / 3, problem, skin)) break;
  }

  // Bend the shank away until it clears the sole everywhere.
  const contact::Rod& rod = *problem.rod;
  for (double bend = 0; bend <= 2.4; bend += 0.1) {
    const int n = rod.element_count();
    for (int j = 0; j < n; ++j) q[rod.first_dof + j] = rod.start_angle - bend * std::min(1.0, 3.0 * (j + 1) / n);
    const contact::PosedRod posed = contact::pose(rod, q);
    bool clear = true;
    for (int i : problem.rod_contact.points) {
      const auto s = contact::sample(rod, posed, skin.position(i), 1.0, 60.0, false);
      if (s && s->gap_mm < -0.5) {
        clear = false;
        break;
      }
    }
    if (clear) break;
  }
  return q;
}

}  // namespace aplomb::stance
