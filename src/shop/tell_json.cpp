// A comparison as JSON.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "aplomb/findings/assess.h"
#include "aplomb/shop/tell.h"

namespace aplomb::shop {

namespace {

using io::Json;

const char* side_of(const Wearer& wearer) { return wearer.foot->side == foot::Side::right ? "right" : "left"; }

Json condition_json(const Raised& one) {
  Json json;
  json["rule"] = one.rule->id;
  json["finding"] = one.rule->condition.finding;
  json["position"] = one.rule->condition.position;
  json["op"] = one.rule->condition.above ? ">" : "<";
  json["threshold"] = one.rule->condition.value;
  json["value"] = one.value;
  json["unit"] = one.rule->unit;
  json["grade"] = grade_names[static_cast<int>(one.rule->grade)];
  json["points"] = one.cost;
  json["cause"] = one.rule->cause;
  return json;
}

Json answers_json(const Answers& answers) {
  Json json = Json::object();
  for (const auto& [position, solved] : answers) {
    Json one;
    one["converged"] = solved.converged;
    if (!solved.reason.empty()) one["reason"] = solved.reason;
    one["goes_in"] = solved.goes_in;
    one["values"] = Json::object();
    for (const auto& [name, value] : solved.values) one["values"][name] = io::number_or_null(value);
    one["peak_kPa"] = io::number_or_null(solved.peak_kPa);
    json[position] = std::move(one);
  }
  return json;
}

Json item_json(const StockItem& item) {
  Json json;
  json["label"] = item.label;
  json["design"] = item.design;
  json["length_mm"] = item.length_mm;
  json["breadth_mm"] = item.breadth_mm;
  json["shank_mm"] = item.shank_mm > 0 ? Json(item.shank_mm) : Json(nullptr);
  json["pairs"] = item.pairs;
  return json;
}

/// Unit of an amount: "mm", "N", "factor", "share".
std::string by_unit(const Try& attempt) {
  const Change* change = change_named(attempt.change);
  return change == nullptr ? "" : change->unit;
}

Json offer_json(const Offer& offer) {
  const ValueName* name = value_named(offer.finding, offer.position == by_measure);
  Json json;
  json["change"] = offer.attempt.change;
  json["by"] = offer.attempt.by;
  json["by_unit"] = by_unit(offer.attempt);
  json["words"] = words(offer.attempt);
  json["rule"] = offer.rule;
  json["finding"] = offer.finding;
  json["position"] = offer.position;
  json["threshold"] = offer.threshold;
  json["before"] = offer.before;
  json["after"] = offer.after;
  json["unit"] = name == nullptr ? "" : name->unit;
  json["grade"] = grade_names[static_cast<int>(offer.grade)];
  json["points_before"] = offer.cost_before;
  json["points_after"] = offer.cost_after;
  json["cause"] = offer.cause;
  return json;
}

Json visit_json(const Visit& visit) {
  Json json;
  json["mass_kg"] = io::number_or_null(visit.mass_kg);
  json["age_years"] = io::number_or_null(visit.age_years);
  json["dance_years"] = io::number_or_null(visit.dance_years);
  json["hours_per_week"] = io::number_or_null(visit.hours_per_week);
  json["measured"] = visit.evening ? "evening" : "morning";
  json["hurts"] = visit.hurts;
  json["readiness"] = Json::object();
  for (std::size_t k = 0; k < readiness_questions().size(); ++k) {
    const auto answer = k < visit.readiness.size() ? visit.readiness[k] : std::nullopt;
    json["readiness"][readiness_questions()[k].key] = answer ? Json(*answer) : Json(nullptr);
  }
  json["not_asked"] = not_asked(visit);
  return json;
}

Json advice_json(const Advice& advice, const char* side) {
  Json json;
  json["side"] = side;
  json["points"] = advice.cost;
  json["raised"] = Json::array();
  for (const Raised& one : advice.raised) json["raised"].push_back(condition_json(one));
  json["offers"] = Json::array();
  for (const Offer& offer : advice.offers) json["offers"].push_back(offer_json(offer));
  json["declined"] = Json::array();
  for (const Declined& one : advice.declined)
    json["declined"].push_back({{"change", one.attempt.change},
                                {"by", one.attempt.by},
                                {"by_unit", by_unit(one.attempt)},
                                {"rule", one.rule},
                                {"reason", one.reason}});
  return json;
}

Json ranking_json(const Telling& telling, const std::vector<const Wearer*>& wearers) {
  const Comparison& c = *telling.comparison;
  Json list = Json::array();
  for (std::size_t i = 0; i < c.pairs.ranking.size(); ++i) {
    const Standing& one = c.pairs.ranking[i];
    Json json = item_json(telling.inputs->stock.items[static_cast<std::size_t>(one.item)]);
    json["points"] = one.cost;
    const auto among = [&](const std::vector<int>& items) {
      return std::find(items.begin(), items.end(), one.item) != items.end();
    };
    json["complete"] = one.complete;
    json["left_at"] = one.complete ? Json(nullptr) : Json(one.left_at);
    json["tied_with_best"] = among(c.tied_with_best);
    json["may_tie"] = among(c.may_tie);
    json["feet"] = Json::array();
    for (std::size_t w = 0; w < one.answers.size(); ++w) {
      Json foot;
      foot["side"] = side_of(*wearers[w]);
      foot["points"] = cost(telling.inputs->rules, one.answers[w]);
      foot["raised"] = Json::array();
      for (const Raised& r : raised(telling.inputs->rules, one.answers[w])) foot["raised"].push_back(condition_json(r));
      // Whole answers of the leaders only: of the rest their bound is all that is said.
      foot["positions"] = one.complete ? answers_json(one.answers[w]) : Json(nullptr);
      json["feet"].push_back(std::move(foot));
    }
    list.push_back(std::move(json));
  }
  return list;
}

}  // namespace

Json comparison_json(const Telling& t) {
  const CompareInputs& in = *t.inputs;
  const Comparison& c = *t.comparison;
  const Wearer& larger = c.difference.right_is_larger ? in.right : in.left;
  const Wearer& smaller = c.difference.right_is_larger ? in.left : in.right;
  Json json;
  json["format"] = "aplomb-comparison";
  json["format_version"] = 1;
  json["version"] = t.version;
  json["inputs"] = {{"left", t.left_name},
                    {"right", t.right_name},
                    {"left_hash", in.left.key},
                    {"right_hash", in.right.key},
                    {"stock", in.stock.file},
                    {"stock_hash", in.stock.hash},
                    {"rules_hash", in.rules.hash},
                    {"left_mass_kg", io::number_or_null(in.left.foot->mass_kg)},
                    {"right_mass_kg", io::number_or_null(in.right.foot->mass_kg)},
                    {"friction", true},
                    {"visit_hash", t.visit ? Json(t.visit->hash) : Json(nullptr)},
                    {"basis", in.basis}};
  json["difference"] = {{"larger", c.difference.even ? Json(nullptr) : Json(side_of(larger))},
                        {"length_mm", c.difference.length_mm},
                        {"breadth_mm", c.difference.breadth_mm},
                        {"split_named", c.difference.split},
                        {"words", c.difference.words}};
  json["smaller_foot_wears"] = layer_words(c.smaller_layers);
  json["ranking"] = ranking_json(t, {&larger, &smaller});
  const double of = std::max<double>(1, static_cast<double>(c.pairs.ranking.size()));
  json["rejected"] = {{"shoes", c.pairs.ranking.size()},      {"by_measure", c.pairs.never_solved},
                      {"not_complete", c.pairs.not_complete}, {"share_by_measure", c.pairs.never_solved / of},
                      {"share", c.pairs.not_complete / of},   {"solves", c.pairs.solves}};
  json["split_pair"] = nullptr;
  if (c.split)
    json["split_pair"] = {{"larger", item_json(in.stock.items[static_cast<std::size_t>(c.split->larger_item)])},
                          {"smaller", item_json(in.stock.items[static_cast<std::size_t>(c.split->smaller_item)])},
                          {"points", c.split->cost}};
  json["advice"] = Json::array();
  for (std::size_t w = 0; w < c.advice.size(); ++w)
    json["advice"].push_back(advice_json(c.advice[w], side_of(w == 0 ? larger : smaller)));
  json["lacks"] = Json::array();
  for (const Lack& lack : c.lacks)
    json["lacks"].push_back({{"side", lack.right ? "right" : "left"},
                             {"rule", lack.rule},
                             {"words", lack.words},
                             {"turns", lack.turns},
                             {"would", lack.offer ? offer_json(*lack.offer) : Json(nullptr)}});
  json["present"] = nullptr;
  if (t.present && t.present->advice.size() == 2)
    json["present"] = {
        {"shoe", t.present->shoe},
        {"feet", {advice_json(t.present->advice[0], "left"), advice_json(t.present->advice[1], "right")}}};
  json["traits"] = Json::object();
  for (const auto& [side, wearer] : {std::pair{"left", &in.left}, std::pair{"right", &in.right}})
    for (const Trait& trait : traits_of(*wearer->foot)) json["traits"][side][trait.name] = trait.words;
  json["visit"] = t.visit ? visit_json(*t.visit) : Json(nullptr);
  json["limits"] = findings::limits();
  json["cautions"] = cautions_of(t);
  json["first_ranking"] = Json::array();
  for (const int item : c.pairs.first)
    json["first_ranking"].push_back(in.stock.items[static_cast<std::size_t>(item)].label);
  json["first_ranking_ms"] = t.first_ranking_ms;
  json["total_ms"] = t.total_ms;
  return json;
}

}  // namespace aplomb::shop
