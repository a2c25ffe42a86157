// The evidence of a balance.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/equilibrium.h"
#include "aplomb/contact/system.h"

namespace aplomb::contact {

/// Fills in everything but `converged`, `reason`, `stable` and the counts from the state's q, the system's aims and
/// what its friction remembers.
void describe(System& system, const Problem& problem, double load_factor, FrictionMode mode, Equilibrium& state);

}  // namespace aplomb::contact
