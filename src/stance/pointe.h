// Full pointe as an equilibrium problem.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/problem.h"
#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/stance/stand.h"
#include "foot_linkage.h"

namespace aplomb::stance {

/// What balance asks of the ankle: which of its aims are found so that the line of force passes the platform's centre.
struct Balance {
  bool fore_aft = true;            ///< by the talocrural joint
  bool frontal = false;            ///< by the subtalar joint, within `steer` of the lined-up foot
  double steer = 0;                ///< rad
  Vec3 forward_S = Vec3::UnitX();  ///< fore and aft in S
  double at_mm = 0;                ///< where the line of force shall pass along it
};

/// Aims the foot of a built problem and says which aims are found by balance.
void aim_foot(contact::Problem& problem, const foot::Foot& foot, const Constants& constants, const Aim& aim,
              const Balance& balance);

/// Where the descent into the box starts: pointed, toes straight, over the box, nothing compressed much, the shank bent
/// away.
Eigen::VectorXd pointe_start(const contact::Problem& problem, const foot::Foot& foot, const shoe::Shoe& shoe,
                             const Constants& constants, const Aim& aim);

}  // namespace aplomb::stance
