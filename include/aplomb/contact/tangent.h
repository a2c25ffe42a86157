// How an answer moves when its problem does: the answers of two problems a hair apart on either side of it, found along
// its path without solving again. Half their difference over half the change of the number between them is the
// derivative, of q and of whatever is computed from the answers.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/equilibrium.h"

namespace aplomb::contact {

/// Two answers, of the problem with the number lower and higher by the same small amount.
struct BothSides {
  bool found = false;   ///< else the corrections did not close: a contact is about to change
  int corrections = 0;  ///< of all balances on the way
  Equilibrium seat_minus, seat_plus;
  Equilibrium minus, plus;
  std::vector<Equilibrium> further_minus, further_plus;  ///< as LoadPath::further
};

/// `path` is solve()'s of `problem`; `minus` and `plus` have the same unknowns, points and lists, in the same order.
/// Every balance of the path is moved by the d for which R_plus(q + d) = R_minus(q - d), friction remembering the moved
/// ones; aims that were found are found again. What is left of R where a balance on the way is loose stays as it is.
/// Pre: path.loaded and all of path.further converged.
BothSides beside_path(const LoadPath& path, const Problem& problem, const Problem& minus, const Problem& plus,
                      const SolveOptions& options);

}  // namespace aplomb::contact
