// What to try on one foot in one shoe: each change is solved again before it is offered.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/shop/rules.h"
#include "aplomb/shop/search.h"
#include "aplomb/shop/solver.h"

namespace aplomb::shop {

/// A change that helped when it was solved.
struct Offer {
  Try attempt;
  std::string rule, finding, position, cause;  ///< what raised it
  Grade grade = Grade::change;
  double threshold = 0;
  double before = 0, after = 0;            ///< of the finding, in its unit
  double cost_before = 0, cost_after = 0;  ///< of everything that was solved
};

/// A change that a rule would have tried and that did not help, with the reason.
struct Declined {
  Try attempt;
  std::string rule, reason;
};

struct AdviseOptions {
  int most_offers = 4;                 ///< per foot
  int most_tries = 8;                  ///< solved per foot before giving up
  std::vector<std::string> positions;  ///< empty: those of the rules
  int threads = 0;
  io::Progress progress;
};

struct Advice {
  std::vector<Raised> raised;  ///< dearest first
  std::vector<Offer> offers;   ///< of the dearest first, in order of reach
  std::vector<Declined> declined;
  Answers answers;  ///< of the shoe as it is
  double cost = 0;
};

/// A change is offered when it takes at least least_help off the points of the rule that tries it, and something off
/// all points together, and spoils nothing else: it raises no rule of a worse grade that was not raised before, and
/// none of the same grade that costs more than most_spoilt of what it takes off its own [G].
inline constexpr double least_help = 0.3, most_spoilt = 0.2;

/// Errors: cancelled; the shoe cannot be made.
io::Result<Advice> advise(const Wearer& wearer, const shoe::ShoeParameters& shoe, const Rules& rules, Memory& memory,
                          const AdviseOptions& options);

}  // namespace aplomb::shop
