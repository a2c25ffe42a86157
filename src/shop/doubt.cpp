// How far two shoes can be turned against one another by what is not known of a foot: each number that a rule speaks of
// is moved in both shoes alike, and what that costs the one more than the other is added in squares.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <iterator>

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

/// The same of a number that is measured: the SD of what it is taken from. 0: it is known.
double off_by(const std::string& finding, const foot::Foot& foot) {
  struct From {
    const char *finding, *measurement;
  };
  constexpr From from[] = {{"spare_length_mm", "foot_length_mm"},
                           {"spare_breadth_mm", "foot_breadth_squeezed_mm"},
                           {"spare_heel_mm", "heel_breadth_mm"},
                           {"foot.squeeze_mm", "foot_breadth_squeezed_mm"},
                           {"foot.second_ahead_mm", "toes.second.length_mm"},
                           {"foot.little_lift_mm", "toes.little.lift_mm"},
                           {"foot.hallux_angle_deg", "hallux_angle_deg"},
                           {"foot.arch_share", "arch_height_mm"},
                           {"foot.pointing_deg", "plantarflexion_deg"}};
  if (finding == "spare_crown_mm") return moved_by("mm");  // a height of the fitted skin, no number of a card
  const auto row = std::find_if(std::begin(from), std::end(from), [&](const From& f) { return f.finding == finding; });
  if (row == std::end(from)) return 0;
  const auto found = foot.measurements.find(row->measurement);
  if (found == foot.measurements.end()) return 0;
  return found->second.sd / (finding == "foot.arch_share" ? foot.length_mm : 1);
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
  const auto add = [&](const Condition& c) {
    const auto same = [&](const Doubtful& d) { return d.finding == c.finding && d.position == c.position; };
    if (std::any_of(all.begin(), all.end(), same)) return;
    const double by =
        c.position == by_measure ? off_by(c.finding, foot) : moved_by(value_named(c.finding, false)->unit);
    if (by > 0) all.push_back({c.finding, c.position, by, that_speak_of(rules, c.finding, c.position)});
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
