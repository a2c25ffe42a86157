// Between flat and full pointe: demi-pointe, and the way down to flat.
//
// The shoe lies on the sole side of its box. Its sole bends at the ball, where it has a stiffness of its own, and
// follows the heel up. She stands flat, then the ankle's aim rises in steps to where the ankle stands over the ball,
// and falls again; friction is remembered all the way. How far up she comes is found: toe joints and vamp may stop her.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/problem.h"
#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/stance/stand.h"
#include "foot_linkage.h"

namespace aplomb::stance {

/// Flat at first; the problem's further aims lead up onto the ball in `steps_up`, and down again in `steps_down`.
struct Rise {
  contact::Problem problem;
  Aim aim;  ///< at the top
};
io::Result<Rise> rise(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options, double load_N,
                      const Ground& ground, int steps_up, int steps_down);

}  // namespace aplomb::stance
