// What the rules say of the answers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <optional>

#include "aplomb/shop/rules.h"

namespace aplomb::shop {

namespace {

constexpr double unsuitable_weight = 3;

std::optional<double> value_of(const Condition& c, const Answers& answers) {
  const auto at = answers.find(c.position);
  if (at == answers.end() || !at->second.converged) return std::nullopt;
  const auto value = at->second.values.find(c.finding);
  if (value == at->second.values.end()) return std::nullopt;
  return value->second;
}

/// How far past its threshold, in the finding's unit; negative: not there.
std::optional<double> past(const Condition& c, const Answers& answers) {
  const auto value = value_of(c, answers);
  if (!value) return std::nullopt;
  return c.above ? *value - c.value : c.value - *value;
}

}  // namespace

std::vector<Raised> raised(const Rules& rules, const Answers& answers) {
  std::vector<Raised> all;
  for (const Rule& rule : rules.rules) {
    const auto over = past(rule.condition, answers);
    if (!over || *over <= 0) continue;
    const bool held = std::all_of(rule.when.begin(), rule.when.end(), [&](const Condition& c) {
      const auto further = past(c, answers);
      return further && *further > 0;
    });
    if (!held) continue;
    const double weight = rule.grade == Grade::good ? 0 : rule.grade == Grade::change ? 1 : unsuitable_weight;
    all.push_back({&rule, *value_of(rule.condition, answers), weight * *over / rule.step});
  }
  std::stable_sort(all.begin(), all.end(), [](const Raised& a, const Raised& b) { return a.cost > b.cost; });
  return all;
}

double cost(const Rules& rules, const Answers& answers) {
  // Rules are added in their own order, so that the sum does not depend on how dear each is.
  double sum = 0;
  std::vector<Raised> all = raised(rules, answers);
  std::sort(all.begin(), all.end(), [](const Raised& a, const Raised& b) { return a.rule < b.rule; });
  for (const Raised& one : all) sum += one.cost;
  for (const auto& [position, solved] : answers) {
    if (!solved.goes_in)
      sum += does_not_go_in_cost;
    else if (!solved.converged)
      sum += not_solved_cost;
  }
  return sum;
}

}  // namespace aplomb::shop
