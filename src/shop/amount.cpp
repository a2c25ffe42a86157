// Doubled until it is enough, then halved between not enough and enough, on whole steps.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/amount.h"

#include <algorithm>
#include <cmath>

#include "solve_all.h"

namespace aplomb::shop {

double amount_step(const Change& change) {
  if (change.name == "longer" || change.name == "shorter") return 5;
  return change.unit == "mm" || change.unit == "N" ? 0.5 : 0.05;
}

io::Result<std::optional<Amount>> least_amount(const Wearer& wearer, const shoe::ShoeParameters& shoe, const Rule& rule,
                                               const Try& start, const Rules& rules, Memory& memory,
                                               const AdviseOptions& options) {
  const Change& change = *change_named(start.change);
  const double step = amount_step(change);
  // A factor of one and a share of the way that is whole change nothing: amounts count from there, either way.
  const double none = change.unit == "factor" ? 1 : change.name == "three_quarter_shank" ? 1 : 0;
  const double sign = change.name == "three_quarter_shank" ? -1 : 1;
  const double furthest = sign > 0 ? change.range.max : change.range.min;
  const double nearest = sign > 0 ? change.range.min : change.range.max;
  int most = static_cast<int>(std::floor(std::abs(furthest - none) / step + 1e-9));
  const int least = static_cast<int>(std::ceil(std::abs(nearest - none) / step - 1e-9));
  const shoe::ShoeParameters dressed = worn(shoe, wearer);
  const Wearer bare{wearer.foot, wearer.key, {}};

  const auto attempt = [&](int steps) {
    return Try{change.name, std::round((none + sign * steps * step) * 1e6) / 1e6};
  };
  const auto made = [&](int steps) { return altered(dressed, attempt(steps), wearer.foot->side); };
  while (most >= least && !made(most)) --most;
  /// Nothing where it does not balance, or cannot be made between amounts that can.
  const auto solved = [&](int steps) -> io::Result<std::optional<Amount>> {
    Amount amount{attempt(steps)};
    const auto changed = made(steps);
    if (!changed) return std::optional<Amount>{};
    const auto answers = solve_all(bare, *changed, positions_of(rule), memory, options);
    if (!answers) return tl::unexpected(answers.error());
    const bool balanced = std::all_of(answers->begin(), answers->end(),
                                      [](const auto& one) { return one.second.converged && one.second.goes_in; });
    if (!balanced) return std::optional<Amount>{};
    amount.turns = find(raised(rules, *answers), &rule) == nullptr;
    amount.after = value_in(*answers, rule.condition, 0);
    return std::optional<Amount>{amount};
  };

  if (most < least) return std::optional<Amount>{};
  int too_little = least - 1;
  int steps = std::clamp(static_cast<int>(std::lround(std::abs(start.by - none) / step)), least, most);
  std::optional<Amount> most_made, enough;
  while (!enough) {
    const auto amount = solved(steps);
    if (!amount) return amount;
    if (*amount) most_made = *amount;
    if (*amount && (*amount)->turns) {
      enough = *amount;
    } else {
      too_little = steps;
      if (steps == most) break;
      steps = std::min(most, 2 * steps);
    }
  }
  if (!enough) return most_made;
  for (int high = steps; high - too_little > 1;) {
    const int middle = (high + too_little) / 2;
    const auto amount = solved(middle);
    if (!amount) return amount;
    if (*amount && (*amount)->turns)
      high = middle, enough = *amount;
    else
      too_little = middle;
  }
  return enough;
}

}  // namespace aplomb::shop
