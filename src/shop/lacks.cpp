// A shoe that by measure cannot lead is no remedy for a fault of the one that does, so it is not asked.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "lacks.h"

#include <fmt/format.h>

#include <algorithm>

#include "aplomb/shop/amount.h"
#include "figures.h"
#include "solve_all.h"

namespace aplomb::shop {

namespace {

/// A shoe that the foot does not go into avoids nothing.
bool known_in(const Answers& answers, const Rule& rule) {
  const auto positions = positions_of(rule);
  return std::all_of(positions.begin(), positions.end(), [&](const std::string& position) {
    const auto at = answers.find(position);
    return at != answers.end() && at->second.converged && at->second.goes_in;
  });
}

/// How many shoes were solved as far as this rule needs, when every one of them raises it; 0 where one avoids it.
int all_raise(const Rule& rule, const Rules& rules, const Search& pairs, std::size_t wearer) {
  int known = 0;
  for (const Standing& one : pairs.ranking) {
    const Answers& answers = one.answers[wearer];
    if (!one.solved || !known_in(answers, rule)) continue;
    if (find(raised(rules, answers), &rule) == nullptr) return 0;
    ++known;
  }
  return known;
}

/// The first change of the rule's that is enough, with the least amount that is, and takes points off all together and
/// raises nothing new; else the one that comes nearest.
io::Result<void> find_remedy(Lack& lack, const Raised& reason, const Wearer& wearer, const shoe::ShoeParameters& shoe,
                             const Advice& advice, const Rules& rules, Memory& memory, const AdviseOptions& options) {
  const Rule& rule = *reason.rule;
  const Condition& c = rule.condition;
  std::vector<std::string> seen;
  for (const Try& attempt : rule.tries) {
    if (std::find(seen.begin(), seen.end(), attempt.change) != seen.end()) continue;
    seen.push_back(attempt.change);
    const auto amount = least_amount(wearer, shoe, rule, attempt, rules, memory, options);
    if (!amount) return tl::unexpected(amount.error());
    if (!*amount) continue;
    const double better = (c.above ? 1 : -1) * (reason.value - (*amount)->after);
    const double so_far = lack.offer ? (c.above ? 1 : -1) * (reason.value - lack.offer->after) : 0;
    if (!(*amount)->turns && better <= so_far) continue;
    const auto changed = altered(worn(shoe, wearer), (*amount)->attempt, wearer.foot->side);
    const auto everywhere =
        solve_all({wearer.foot, wearer.key, {}}, *changed, positions_to_solve(rules, options), memory, options);
    if (!everywhere) return tl::unexpected(everywhere.error());
    if (!std::all_of(everywhere->begin(), everywhere->end(),
                     [](const auto& at) { return at.second.converged && at.second.goes_in; }))
      continue;
    const double after = cost(rules, *everywhere);
    if (after >= advice.cost || newly_raised(rules, reason, advice.answers, *everywhere) != nullptr) continue;
    lack.offer = Offer{(*amount)->attempt, rule.id,          c.finding,   c.position, rule.cause, rule.grade, c.value,
                       reason.value,       (*amount)->after, advice.cost, after};
    lack.turns = (*amount)->turns;
    if (lack.turns) return {};
  }
  return {};
}

std::string would(const Lack& lack) {
  if (!lack.offer) return "none of the changes that were solved helps and spoils nothing else";
  return fmt::format("{} would{} ({})", words(lack.offer->attempt), lack.turns ? "" : " help, though not enough",
                     becomes(*lack.offer));
}

}  // namespace

io::Result<std::vector<Lack>> lacks_of(const CompareInputs& inputs, const Search& pairs,
                                       const std::vector<Wearer>& wearers, const std::vector<Advice>& advice,
                                       Memory& memory, const AdviseOptions& options) {
  const StockItem& best = inputs.stock.items[static_cast<std::size_t>(pairs.ranking.front().item)];
  std::vector<Lack> lacks;
  for (std::size_t w = 0; w < wearers.size(); ++w)
    for (const Raised& one : advice[w].raised) {
      if (one.rule->grade == Grade::good) continue;
      const int asked = all_raise(*one.rule, inputs.rules, pairs, w);
      if (asked == 0) continue;
      Lack lack;
      lack.rule = one.rule->id;
      lack.right = wearers[w].foot->side == foot::Side::right;
      if (const auto found = find_remedy(lack, one, wearers[w], best.shoe, advice[w], inputs.rules, memory, options);
          !found)
        return tl::unexpected(found.error());
      const std::string shoes = asked == 1 ? best.label + ", the only one of the shelf solved as far as this, has it"
                                           : fmt::format("none of the {} shoes solved as far as this avoids it", asked);
      lack.words = fmt::format("{} foot: {}; {}; against {}, {}", lack.right ? "right" : "left", one.rule->cause, shoes,
                               best.label, would(lack));
      lacks.push_back(std::move(lack));
    }
  return lacks;
}

}  // namespace aplomb::shop
