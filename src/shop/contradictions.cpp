// Rules contradict one another where a finding can raise both and they say opposite things. A rule contradicts itself
// where nothing can raise it, or where what it tries undoes itself.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "contradictions.h"

#include <fmt/format.h>

#include <algorithm>

namespace aplomb::shop {

namespace {

bool same_finding(const Condition& a, const Condition& b) { return a.finding == b.finding && a.position == b.position; }

/// Whether one value can meet both.
bool overlap(const Condition& a, const Condition& b) {
  if (a.above == b.above) return true;
  return a.above ? a.value < b.value : b.value < a.value;
}

/// Whether the further conditions of two rules leave room for both.
bool can_meet(const Rule& a, const Rule& b) {
  for (const Condition& x : a.when)
    for (const Condition& y : b.when)
      if (same_finding(x, y) && !overlap(x, y)) return false;
  const auto excludes = [](const Rule& rule, const Condition& c) {
    return same_finding(rule.condition, c) && !overlap(rule.condition, c);
  };
  for (const Condition& c : a.when)
    if (excludes(b, c)) return false;
  return std::none_of(b.when.begin(), b.when.end(), [&](const Condition& c) { return excludes(a, c); });
}

std::string words_of(const Condition& c) {
  return fmt::format("{} {} {:g} ({})", c.finding, c.above ? ">" : "<", c.value, c.position);
}

bool opposite(const Try& a, const Try& b) {
  const Change* change = change_named(a.change);
  return change != nullptr && change->opposite == b.change;
}

/// Two conditions of the rule that no value meets together.
std::optional<io::Error> never_raised(const Rule& rule) {
  std::vector<Condition> all = rule.when;
  all.insert(all.begin(), rule.condition);
  for (std::size_t i = 0; i < all.size(); ++i)
    for (std::size_t j = i + 1; j < all.size(); ++j)
      if (same_finding(all[i], all[j]) && !overlap(all[i], all[j]))
        return io::Error{.field = "when",
                         .message = fmt::format("\"{}\" is never raised: {} excludes {}", rule.id, words_of(all[j]),
                                                words_of(all[i])),
                         .remedy = "move one of the values, or leave a condition out"};
  return std::nullopt;
}

}  // namespace

std::optional<io::Error> contradiction_in(const Rule& rule) {
  if (auto never = never_raised(rule)) return never;
  for (std::size_t i = 0; i < rule.tries.size(); ++i)
    for (std::size_t j = i + 1; j < rule.tries.size(); ++j)
      if (opposite(rule.tries[i], rule.tries[j]))
        return io::Error{.field = "try",
                         .message = fmt::format("\"{}\" tries {} and its opposite, {}", rule.id, rule.tries[i].change,
                                                rule.tries[j].change),
                         .remedy = "keep the one that the cause calls for"};
  for (std::size_t i = 1; i < rule.tries.size(); ++i) {
    const Change *nearer = change_named(rule.tries[i].change), *farther = change_named(rule.tries[i - 1].change);
    if (nearer->reach < farther->reach)
      return io::Error{.field = "try",
                       .message = fmt::format("{} ({}) stands behind {} ({})", nearer->name,
                                              reach_names[static_cast<int>(nearer->reach)], farther->name,
                                              reach_names[static_cast<int>(farther->reach)]),
                       .remedy = "put tries in order of reach: size, order, bench, fitting"};
  }
  return std::nullopt;
}

std::optional<io::Error> contradiction_with(const std::vector<Rule>& before, const Rule& rule) {
  for (const Rule& other : before) {
    if (other.id == rule.id)
      return io::Error{.field = "id",
                       .message = fmt::format("\"{}\" is already the rule on line {}", rule.id, other.line),
                       .remedy = "give each rule an id of its own"};
    if (!same_finding(rule.condition, other.condition) || !overlap(rule.condition, other.condition) ||
        !can_meet(rule, other))
      continue;
    if ((rule.grade == Grade::good) != (other.grade == Grade::good))
      return io::Error{.field = "grade",
                       .message = fmt::format("\"{}\" and \"{}\" (line {}) call the same {} good and not good", rule.id,
                                              other.id, other.line, rule.condition.finding),
                       .remedy = "move one threshold so that they do not overlap"};
    for (const Try& mine : rule.tries)
      for (const Try& theirs : other.tries)
        if (opposite(mine, theirs))
          return io::Error{.field = "try",
                           .message = fmt::format("\"{}\" tries {} where \"{}\" (line {}) tries {}", rule.id,
                                                  mine.change, other.id, other.line, theirs.change),
                           .remedy = "keep one of them, or move a threshold so that the rules do not overlap"};
  }
  return std::nullopt;
}

}  // namespace aplomb::shop
