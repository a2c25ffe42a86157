// One foot in one shoe in several positions, side by side.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/shop/advise.h"

namespace aplomb::shop {

/// Answers in `positions` and by measure. Errors: cancelled, and what the shoe or the stand refuses.
io::Result<Answers> solve_all(const Wearer& wearer, const shoe::ShoeParameters& shoe,
                              const std::vector<std::string>& positions, Memory& memory, const AdviseOptions& options);

/// Those asked for, else those of the rules; cheap ones first.
std::vector<std::string> positions_to_solve(const Rules& rules, const AdviseOptions& options);

/// Positions that one rule speaks of, by_measure left out.
std::vector<std::string> positions_of(const Rule& rule);

/// The rule among those raised, or null.
const Raised* find(const std::vector<Raised>& all, const Rule* rule);

/// A rule that a change made for `reason` raises and that was not raised before, or null: of a worse grade at all, of
/// the same grade where it costs more than most_spoilt of the points that the change takes off `reason`.
const Rule* newly_raised(const Rules& rules, const Raised& reason, const Answers& before, const Answers& after);

/// A finding's value, or `otherwise` where it is not known.
double value_in(const Answers& answers, const Condition& condition, double otherwise);

}  // namespace aplomb::shop
