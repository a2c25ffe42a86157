// The same words on terminal and pages: what a rule found, what a change does, which pair comes first.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "aplomb/report/rows.h"
#include "aplomb/shop/tell.h"
#include "figures.h"

namespace aplomb::shop {

namespace {

constexpr double told_apart = 0.05;  // points: less is not seen where they are printed

std::string where(const std::string& position) {
  return position == by_measure ? "measured" : report::position_words(position);
}

std::string pair_words(const Telling& t, int index) {
  const StockItem& item = t.inputs->stock.items[static_cast<std::size_t>(index)];
  return fmt::format("{} ({})", item.label, item_words(item));
}

}  // namespace

std::string evidence(const Raised& raised) {
  const Condition& c = raised.rule->condition;
  const ValueWords words = value_words(c.finding, c.position);
  return fmt::format("{} {}{}, {} {:g}{} ({})", words.name, figure(raised.value, words.decimals), words.unit,
                     c.above ? "more than" : "less than", c.value, words.unit, where(c.position));
}

std::string told(const Raised& raised) {
  return fmt::format("{} - {}: {}", grade_names[static_cast<int>(raised.rule->grade)], raised.rule->cause,
                     evidence(raised));
}

std::vector<std::string> failures(const Answers& answers) {
  std::vector<std::string> lines;
  for (const auto& [position, solved] : answers) {
    if (!solved.goes_in)
      lines.push_back(fmt::format("unsuitable - does not go in ({}){}{}", where(position),
                                  solved.reason.empty() ? "" : ": ", solved.reason));
    else if (!solved.converged)
      lines.push_back(fmt::format("not solved, {}: {}", where(position), solved.reason));
  }
  return lines;
}

std::vector<std::string> reasons(const Rules& rules, const Answers& answers) {
  std::vector<std::string> lines = failures(answers);
  for (const Raised& one : raised(rules, answers)) lines.push_back(told(one));
  return lines;
}

std::string before_and_after(const Offer& offer) {
  return fmt::format("{} {} ({})", value_words(offer.finding, offer.position).name, becomes(offer),
                     where(offer.position));
}

std::string because(const Offer& offer) {
  return fmt::format("{} - {}", grade_names[static_cast<int>(offer.grade)], offer.cause);
}

bool unsuitable(const Rules& rules, const Standing& one) {
  return std::any_of(one.answers.begin(), one.answers.end(), [&](const Answers& answers) {
    const auto all = raised(rules, answers);
    return std::any_of(answers.begin(), answers.end(), [](const auto& at) { return !at.second.goes_in; }) ||
           std::any_of(all.begin(), all.end(), [](const Raised& r) { return r.rule->grade == Grade::unsuitable; });
  });
}

namespace {

bool tied(const Telling& t, const Standing& one) {
  const auto& all = t.comparison->tied_with_best;
  return std::find(all.begin(), all.end(), one.item) != all.end();
}

const Standing* nearest_suitable(const Telling& t) {
  const auto& ranking = t.comparison->pairs.ranking;
  const auto at = std::find_if(ranking.begin(), ranking.end(),
                               [&](const Standing& one) { return one.complete && !unsuitable(t.inputs->rules, one); });
  return at == ranking.end() ? nullptr : &*at;
}

/// How the pairs feel decides only between pairs that can be worn as they are.
std::string tie_words(const Telling& t, const Standing& one) {
  const Rules& rules = t.inputs->rules;
  const std::string pair = pair_words(t, one.item);
  if (unsuitable(rules, one)) return fmt::format("As near is {}, but unsuitable as it is.", pair);
  if (unsuitable(rules, t.comparison->pairs.ranking.front()))
    return fmt::format("As near is {}, with nothing unsuitable.", pair);
  return fmt::format("A tie with {}: how they feel decides.", pair);
}

}  // namespace

std::string headline(const Telling& t, const char* first) {
  const auto& ranking = t.comparison->pairs.ranking;
  const Rules& rules = t.inputs->rules;
  const std::string best = pair_words(t, ranking.front().item);
  if (!unsuitable(rules, ranking.front())) return fmt::format("{}: {}", first, best);
  const Standing* other = nearest_suitable(t);
  if (other == nullptr) return "Nothing on this shelf suits; the nearest is " + best;
  return fmt::format("The nearest is {}, unsuitable as it is; {} {} nothing unsuitable", best,
                     pair_words(t, other->item), tied(t, *other) ? "is as near, with" : "has more to alter, but");
}

std::vector<std::string> ties_and_split(const Telling& t) {
  const Comparison& c = *t.comparison;
  std::vector<std::string> lines;
  const Standing& best = c.pairs.ranking.front();
  const Standing* in_headline = unsuitable(t.inputs->rules, best) ? nearest_suitable(t) : &best;
  for (const Standing& one : c.pairs.ranking)
    if (tied(t, one) && &one != in_headline) lines.push_back(tie_words(t, one));
  if (!c.may_tie.empty()) {
    constexpr std::size_t named = 3;
    std::vector<std::string> labels;
    for (std::size_t i = 0; i < std::min(named, c.may_tie.size()); ++i)
      labels.push_back(t.inputs->stock.items[static_cast<std::size_t>(c.may_tie[i])].label);
    const std::string more = c.may_tie.size() > named ? fmt::format(" and {} more", c.may_tie.size() - named) : "";
    lines.push_back(fmt::format("May tie, not solved in every position: {}{}.", fmt::join(labels, ", "), more));
  }
  if (c.split) {
    const char* larger = c.difference.right_is_larger ? "right" : "left";
    const char* smaller = c.difference.right_is_larger ? "left" : "right";
    const double gain = c.pairs.ranking.front().cost - c.split->cost;
    const char* suits = gain > told_apart    ? "suits them better than"
                        : gain < -told_apart ? "suits them less than"
                                             : "is no better than";
    lines.push_back(fmt::format(
        "The feet differ by about a size. A split pair, {} foot {}, {} foot {}, {} the best one pair, by the rules.",
        larger, pair_words(t, c.split->larger_item), smaller, pair_words(t, c.split->smaller_item), suits));
  }
  return lines;
}

std::vector<PeakRow> peaks_of(const Telling& t) {
  const auto& answers = t.comparison->pairs.ranking.front().answers;
  const std::size_t right = t.comparison->difference.right_is_larger ? 0 : 1;
  std::vector<PeakRow> rows;
  if (answers.size() < 2) return rows;
  std::vector<std::string> positions;
  for (const auto& [position, solved] : answers[0]) positions.push_back(position);
  for (const std::string& position : cheap_first(positions)) {
    const auto peak = [&](std::size_t foot) -> std::string {
      const auto at = answers[foot].find(position);
      return at == answers[foot].end() || !at->second.peak_kPa ? "" : figure(*at->second.peak_kPa, 0);
    };
    if (PeakRow row{where(position), peak(1 - right), peak(right)}; !row.left_kPa.empty() || !row.right_kPa.empty())
      rows.push_back(std::move(row));
  }
  return rows;
}

std::vector<std::string> visit_lines(const Telling& t) {
  if (t.visit == nullptr) return {"No visit was given: whether she is ready was not asked."};
  std::vector<std::string> lines;
  if (const auto facts = facts_of(*t.visit); !facts.empty())
    lines.push_back(fmt::format("About her: {}.", fmt::join(facts, ", ")));
  for (const std::string& question : not_asked(*t.visit)) lines.push_back("Not asked: " + question);
  return lines;
}

}  // namespace aplomb::shop
