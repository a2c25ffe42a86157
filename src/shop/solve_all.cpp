// Positions of one shoe are independent of one another, so they are solved side by side.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve_all.h"

#include <algorithm>
#include <optional>

#include "parallel.h"

namespace aplomb::shop {

io::Result<Answers> solve_all(const Wearer& wearer, const shoe::ShoeParameters& shoe,
                              const std::vector<std::string>& positions, Memory& memory, const AdviseOptions& options) {
  Answers answers;
  const shoe::ShoeParameters dressed = worn(shoe, wearer);
  answers[by_measure] = {true, "", true, measure(*wearer.foot, dressed)};
  std::vector<std::optional<io::Result<Solved>>> solved(positions.size());
  study::for_each_index(static_cast<int>(positions.size()), options.threads, options.progress.cancel, [&](int i) {
    const std::size_t at = positions.size() - 1 - static_cast<std::size_t>(i);  // what takes longest first
    solved[at] = memory.ask(wearer.key, wearer.foot, dressed, positions[at]);
  });
  if (options.progress.cancelled())
    return io::fail({.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "run it again"});
  for (std::size_t i = 0; i < positions.size(); ++i) {
    if (!*solved[i]) return tl::unexpected(solved[i]->error());
    answers[positions[i]] = std::move(**solved[i]);
  }
  return answers;
}

const Raised* find(const std::vector<Raised>& all, const Rule* rule) {
  for (const Raised& one : all)
    if (one.rule == rule) return &one;
  return nullptr;
}

const Rule* newly_raised(const Rules& rules, const Raised& reason, const Answers& before, const Answers& after) {
  const std::vector<Raised> were = raised(rules, before), are = raised(rules, after);
  const Raised* same = find(are, reason.rule);
  const double taken_off = reason.cost - (same == nullptr ? 0 : same->cost);
  for (const Raised& one : are) {
    if (find(were, one.rule) != nullptr || one.rule->grade < reason.rule->grade) continue;
    if (one.rule->grade > reason.rule->grade || one.cost > most_spoilt * taken_off) return one.rule;
  }
  return nullptr;
}

double value_in(const Answers& answers, const Condition& c, double otherwise) {
  const auto at = answers.find(c.position);
  if (at == answers.end()) return otherwise;
  const auto value = at->second.values.find(c.finding);
  return value == at->second.values.end() ? otherwise : value->second;
}

std::vector<std::string> positions_of(const Rule& rule) {
  std::vector<std::string> used;
  if (rule.condition.position != by_measure) used.push_back(rule.condition.position);
  for (const Condition& c : rule.when)
    if (c.position != by_measure && std::find(used.begin(), used.end(), c.position) == used.end())
      used.push_back(c.position);
  return used;
}

std::vector<std::string> positions_to_solve(const Rules& rules, const AdviseOptions& options) {
  return cheap_first(options.positions.empty() ? rules.positions() : options.positions);
}

}  // namespace aplomb::shop
