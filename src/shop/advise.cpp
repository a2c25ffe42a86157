// Tries are solved rule by rule, the dearest first; several of one rule side by side, all of them judged in order.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/advise.h"

#include <fmt/format.h>

#include <algorithm>

#include "solve_all.h"

namespace aplomb::shop {

namespace {

/// Why a change does not help the rule that tries it; empty when it does.
std::string hardly_helps(const Rules& rules, const Raised& reason, const Answers& before, const Answers& after) {
  for (const auto& [position, solved] : after) {
    if (!solved.goes_in) return fmt::format("the foot does not go in, {}", position);
    if (!solved.converged) return fmt::format("no balance found in {}", position);
  }
  const auto still = raised(rules, after);
  const Raised* same = find(still, reason.rule);
  if (same != nullptr && same->cost > (1 - least_help) * reason.cost) return "solved again, it hardly helps";
  if (const Rule* spoilt = newly_raised(rules, reason, before, after))
    return fmt::format("solved again, {}", spoilt->cause);
  return {};
}

}  // namespace

io::Result<Advice> advise(const Wearer& wearer, const shoe::ShoeParameters& shoe, const Rules& rules, Memory& memory,
                          const AdviseOptions& options) {
  const std::vector<std::string> positions = positions_to_solve(rules, options);
  auto now = solve_all(wearer, shoe, positions, memory, options);
  if (!now) return tl::unexpected(now.error());
  Advice advice;
  advice.answers = std::move(*now);
  advice.raised = raised(rules, advice.answers);
  advice.cost = cost(rules, advice.answers);
  const shoe::ShoeParameters dressed = worn(shoe, wearer);

  std::vector<Try> solved;
  const auto known = [](const std::vector<Try>& some, const Try& attempt) {
    return std::find(some.begin(), some.end(), attempt) != some.end();
  };
  const auto decline = [&](const Try& attempt, const Raised& reason, std::string why) {
    const auto same = [&](const Declined& one) { return one.attempt == attempt && one.reason == why; };
    if (std::none_of(advice.declined.begin(), advice.declined.end(), same))
      advice.declined.push_back({attempt, reason.rule->id, std::move(why)});
  };
  int left = options.most_tries;
  for (const Raised& reason : advice.raised) {
    for (const Try& attempt : reason.rule->tries) {
      if (static_cast<int>(advice.offers.size()) >= options.most_offers || left <= 0) return advice;
      const auto offered = [&](const Offer& one) { return one.attempt == attempt; };
      if (std::any_of(advice.offers.begin(), advice.offers.end(), offered)) continue;
      const auto changed = altered(dressed, attempt, wearer.foot->side);
      if (!changed) {
        decline(attempt, reason, "cannot be made: " + changed.error().message);
        continue;
      }
      options.progress(1 - static_cast<double>(left) / options.most_tries, "changes that may help");
      // What did not help one rule may help the next one, and is remembered.
      if (!known(solved, attempt)) solved.push_back(attempt), --left;
      // The change may be of what she wears, so her layers are in the shoe now and not laid on again.
      const Wearer bare{wearer.foot, wearer.key, {}};
      // First where it is meant to help; most that do not help are found out there.
      const auto there = solve_all(bare, *changed, positions_of(*reason.rule), memory, options);
      if (!there) return tl::unexpected(there.error());
      std::string fault = hardly_helps(rules, reason, advice.answers, *there);
      double cost_after = advice.cost;
      io::Result<Answers> after = *there;
      if (fault.empty()) {
        after = solve_all(bare, *changed, positions, memory, options);
        if (!after) return tl::unexpected(after.error());
        cost_after = cost(rules, *after);
        fault = hardly_helps(rules, reason, advice.answers, *after);
        if (fault.empty() && cost_after >= advice.cost)
          fault = "solved again in every position, it costs as much elsewhere";
      }
      if (!fault.empty()) {
        decline(attempt, reason, fault);
        continue;
      }
      std::erase_if(advice.declined, [&](const Declined& one) { return one.attempt == attempt; });
      const Condition& c = reason.rule->condition;
      advice.offers.push_back({attempt, reason.rule->id, c.finding, c.position, reason.rule->cause, reason.rule->grade,
                               c.value, reason.value, value_in(*after, c, reason.value), advice.cost, cost_after});
    }
  }
  return advice;
}

}  // namespace aplomb::shop
