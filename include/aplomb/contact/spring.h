// The law of a joint's tone, for whoever needs its moment.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/problem.h"
#include "aplomb/contact/tissue.h"

namespace aplomb::contact {

/// Energy of a spring's tone at x (N mm), its slope (moment against x) and stiffness, aiming at `target`.
/// cap^2 / k log cosh(k d / cap), d = x - target; k d^2 / 2 without a cap; times the share taken up at `load_factor`.
Jet tone_energy(const JointSpring& spring, double x, double target, double load_factor);

}  // namespace aplomb::contact
