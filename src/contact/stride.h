// One stride of a way: balance at the next load or the next aims.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "ahead.h"
#include "aplomb/contact/equilibrium.h"
#include "newton.h"

namespace aplomb::contact {

struct Step {
  bool converged = false, cancelled = false;
  int iterations = 0;
  bool rises = false;  ///< the last tangent's symmetric part is positive definite: nothing falls
};

std::vector<double> aims_of(const System& system, const Problem& problem);
void set_aims(System& system, const std::vector<double>& aims);

/// Balances q near a guess by Newton alone; false, and q and aims as they were, where that does not end near it or ends
/// on a hilltop. `mode` none or exact.
bool balance_near(System& system, const Problem& problem, Eigen::VectorXd& q, const Ahead::Guess& guess,
                  double load_factor, FrictionMode mode, const Closing& closing, const SolveOptions& options,
                  const io::Progress& progress, Aims find, Step& step);

/// Balances at `load_factor` from where the state is; the state moves only when a balance is found. The `last` one of a
/// way is found to the full tolerance. `far`: the balance it stood in ends here and the next may lie far off, so that
/// the descent may take long.
Step stride(System& system, const Problem& problem, Equilibrium& state, double load_factor, FrictionMode mode,
            bool last, const SolveOptions& options, const io::Progress& progress, Aims find,
            const std::optional<Ahead::Guess>& guess = std::nullopt, bool far = false);

}  // namespace aplomb::contact
