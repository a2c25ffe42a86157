// How far two shoes can be turned against one another by what is not known of a foot: each number that a rule speaks of
// is moved in both shoes alike, and what that costs the one more than the other is added in squares.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "aplomb/shop/search.h"

namespace aplomb::shop {

namespace {

struct Doubtful {
  std::string finding, position;
  double by = 0;
  Rules rules;  ///< those that speak of it
};

/// How far a solved finding moves when every number of a card is off by what calipers are off. Mean squares of the
/// house's findings, two sample feet in eight shoes: 0.3 to 1.8 mm, 0.5 to 1.6 degrees, 0.005 to 0.04 of a share
/// [C: the long test of the twelve feet]. Load shares are a guess [G].
double moved_by(const std::string& unit) {
  if (unit == "mm") return 1;
  if (unit == "deg") return 1.5;
  return unit == "share" ? 0.04 : 2;
}

Rules that_speak_of(const Rules& rules, const std::string& finding, const std::string& position) {
  const auto speaks = [&](const Condition& c) { return c.finding == finding && c.position == position; };
  Rules some;
  for (const Rule& rule : rules.rules)
    if (speaks(rule.condition) || std::any_of(rule.when.begin(), rule.when.end(), speaks)) some.rules.push_back(rule);
  return some;
}

std::vector<Doubtful> doubtful_numbers(const Rules& rules, const foot::Foot& foot) {
  std::vector<Doubtful> all;
  for (const auto& [number, spare] :
       {std::pair{"foot_length_mm", "spare_length_mm"}, {"foot_breadth_mm", "spare_breadth_mm"}})
    if (const auto found = foot.measurements.find(number); found != foot.measurements.end())
      all.push_back({spare, by_measure, found->second.sd, that_speak_of(rules, spare, by_measure)});
  const auto add = [&](const Condition& c) {
    const auto same = [&](const Doubtful& d) { return d.finding == c.finding && d.position == c.position; };
    if (c.position != by_measure && std::none_of(all.begin(), all.end(), same))
      all.push_back({c.finding, c.position, moved_by(value_named(c.finding, false)->unit),
                     that_speak_of(rules, c.finding, c.position)});
  };
  for (const Rule& rule : rules.rules) {
    add(rule.condition);
    std::for_each(rule.when.begin(), rule.when.end(), add);
  }
  return all;
}

/// Points gained when the number is moved; none where it is not known. `answers` are left as they were.
double gained(const Doubtful& number, Answers& answers, double by) {
  const auto at = answers.find(number.position);
  if (at == answers.end()) return 0;
  const auto value = at->second.values.find(number.finding);
  if (value == at->second.values.end()) return 0;
  const double was = value->second, before = cost(number.rules, answers);
  value->second = was + by;
  const double after = cost(number.rules, answers);
  value->second = was;
  return after - before;
}

}  // namespace

double doubt(const Rules& rules, const std::vector<Wearer>& wearers, const Standing& a, const Standing& b) {
  double squares = 0;
  for (std::size_t w = 0; w < wearers.size(); ++w) {
    Answers of_a = a.answers[w], of_b = b.answers[w];
    for (const Doubtful& number : doubtful_numbers(rules, *wearers[w].foot)) {
      double most = 0;
      for (const double by : {-number.by, number.by})
        most = std::max(most, std::abs(gained(number, of_a, by) - gained(number, of_b, by)));
      squares += most * most;
    }
  }
  return std::sqrt(squares);
}

}  // namespace aplomb::shop
