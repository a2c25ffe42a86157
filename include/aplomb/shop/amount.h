// How much of a change is enough: solved for, not taken from a list.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "aplomb/shop/advise.h"

namespace aplomb::shop {

/// Amounts are told in these steps [G: what a workshop can keep to; lengths of a shoe go by ISO 9407's 5 mm].
double amount_step(const Change& change);

struct Amount {
  Try attempt;
  bool turns = false;  ///< the rule is no longer raised; else this is the most that can be made, which is not enough
  double after = 0;    ///< of the rule's finding, in its unit
};

/// The least amount of a change that a rule tries after which the rule is no longer raised, within one amount_step():
/// one step less does not do, or is less than Change::range has. Solved in the rule's positions only; the way from not
/// enough to enough is taken to be one crossing. Nothing where the change cannot be made at all, or nothing that can
/// be made balances. Pre: the rule is raised, and names the change of `start`. Errors: cancelled.
io::Result<std::optional<Amount>> least_amount(const Wearer& wearer, const shoe::ShoeParameters& shoe, const Rule& rule,
                                               const Try& start, const Rules& rules, Memory& memory,
                                               const AdviseOptions& options);

}  // namespace aplomb::shop
