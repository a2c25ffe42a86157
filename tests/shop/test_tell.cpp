// What a made-up comparison says on the terminal, in JSON and on the two pages.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "aplomb/shop/pages.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::shop;
using namespace aplomb::shop::test;
using Catch::Contains;

namespace {

const char* const made_up_rules =
    "format = \"aplomb-rules\"\nformat_version = 1\n"
    "[[rule]]\nid = \"long\"\nfinding = \"spare_length_mm\"\nposition = \"measure\"\nop = \">\"\nvalue = 1\n"
    "unit = \"mm\"\nstep = 1\ngrade = \"unsuitable\"\ncause = \"too long\"\ntry = [{ change = \"shorter\", by = 5 }]\n"
    "[[rule]]\nid = \"bags\"\nfinding = \"heel_slack_mm\"\nposition = \"on-box\"\nop = \">\"\nvalue = 9\n"
    "unit = \"mm\"\nstep = 3\ngrade = \"change\"\ncause = \"cloth bags at the heel\"\n"
    "try = [{ change = \"heel_shaping\", by = 8 }]\n";

Answers answers(double spare_length_mm, double heel_slack_mm) {
  return {{by_measure, {true, "", true, {{"spare_length_mm", spare_length_mm}}}},
          {"on-box", {true, "", true, {{"heel_slack_mm", heel_slack_mm}}, 87.4}}};
}

Offer offer_of(const char* change, double by, const char* finding, const char* position, Grade grade) {
  return {{change, by}, "rule", finding, position, "a cause", grade, 9, 12, -0.01, 2, 1};
}

/// Two pairs, solved whole, on the sample feet; the right foot is the larger.
struct MadeUp {
  CompareInputs inputs;
  Comparison comparison;
  Visit visit;
  Telling telling;

  MadeUp() {
    inputs.left = left_sample(), inputs.right = right_sample();
    inputs.rules = need(parse_rules(made_up_rules, "r.toml"));
    inputs.stock.items = shelf({240}, {90}, {2.0}, 2);
    comparison.difference = difference(*inputs.left.foot, *inputs.right.foot);
    comparison.advice.resize(2);
    put(0, 0.0, 12.34);
    put(1, 0.0, 15);
    telling.inputs = &inputs, telling.comparison = &comparison;
    telling.date = "2026-11-28", telling.version = "0";
  }
  MadeUp(const MadeUp&) = delete;
  MadeUp& operator=(const MadeUp&) = delete;

  void put(int item, double spare_length_mm, double heel_slack_mm) {
    Standing one{item, 1.0 + item, true, true, "", {2, answers(spare_length_mm, heel_slack_mm)}};
    auto& ranking = comparison.pairs.ranking;
    if (static_cast<std::size_t>(item) < ranking.size())
      ranking[static_cast<std::size_t>(item)] = one;
    else
      ranking.push_back(one);
    for (Advice& advice : comparison.advice) advice.raised = raised(inputs.rules, ranking[0].answers[0]);
  }
  const std::string& label(std::size_t item) const { return inputs.stock.items[item].label; }
};

std::string all_of(const report::FittingPage& page) {
  std::string text = page.title + "\n";
  for (const report::PagePart& part : page.parts) {
    text += "# " + part.title + "\n";
    for (const std::string& line : part.lines) text += line + "\n";
    for (const auto& row : part.grid.rows) text += fmt::format("{}\n", fmt::join(row, " | "));
  }
  return text;
}

std::string joined_lines(std::string text) {
  for (std::size_t at = text.find("\n "); at != std::string::npos; at = text.find("\n ", at)) {
    const std::size_t end = text.find_first_not_of(' ', at + 1);
    text.replace(at, end - at, " ");
  }
  return text;
}

}  // namespace

TEST_CASE("The grade stands before the cause, on the terminal and on both pages", "[tell]") {
  const MadeUp made;
  const std::string why =
      "change - cloth bags at the heel: heel slack 12.3 mm, more than 9 mm (on the box, without weight)";
  CHECK_THAT(joined_lines(comparison_text(made.telling)), Contains(why));
  CHECK_THAT(all_of(workshop_page(made.telling)), Contains(why));
  CHECK_THAT(all_of(client_page(made.telling)), Contains("Both feet: change - cloth bags at the heel."));
  CHECK_THAT(comparison_text(made.telling), Catch::StartsWith("Bring out first: " + made.label(0)));
}

TEST_CASE("Where even the best pair is unsuitable, every headline says that nothing suits and what is nearest",
          "[tell]") {
  MadeUp made;
  made.put(0, 4, 12);
  made.put(1, 9, 12);
  const std::string nothing = "Nothing on this shelf suits; the nearest is " + made.label(0);
  CHECK_THAT(comparison_text(made.telling), Catch::StartsWith(nothing));
  for (const auto& page : {client_page(made.telling), workshop_page(made.telling)}) {
    REQUIRE(page.parts.front().title == "Which pair");
    CHECK_THAT(page.parts.front().lines.front(), Catch::StartsWith(nothing));
    CHECK_THAT(all_of(page), Contains("unsuitable - too long"));
  }
  // Not said where a dearer pair raises nothing of that grade.
  made.put(1, 0, 60);
  CHECK_THAT(joined_lines(comparison_text(made.telling)), Catch::StartsWith("The nearest is " + made.label(0)) &&
                                                              Contains(made.label(1)) &&
                                                              Contains("has more to alter, but nothing unsuitable"));
  // A foot that does not go in has an unsuitable shoe, whatever the rules say.
  made.put(0, 0, 1), made.put(1, 9, 12);
  made.comparison.pairs.ranking[0].answers[1]["on-box"].goes_in = false;
  CHECK_THAT(comparison_text(made.telling),
             Catch::StartsWith(nothing) && Contains("does not go in (on the box, without weight)"));
  made.comparison.pairs.ranking[0].answers[1]["on-box"].converged = false;
  made.comparison.pairs.ranking[0].answers[1]["on-box"].reason = "the little toe stays outside the box";
  CHECK_THAT(comparison_text(made.telling),
             Contains("does not go in (on the box, without weight): the little toe stays outside the box"));
}

TEST_CASE("A tie names the other pair and a split pair its two shoes, on the workshop page too", "[tell]") {
  MadeUp made;
  made.comparison.tied_with_best = {1};
  made.comparison.split = SplitPair{1, 0, 0.52, {}};
  for (const std::string& text : {joined_lines(comparison_text(made.telling)), all_of(client_page(made.telling)),
                                  all_of(workshop_page(made.telling))}) {
    CHECK_THAT(text, Contains("A tie with " + made.label(1) + " ("));
    CHECK_THAT(text, Contains("A split pair, right foot " + made.label(1) + " (") &&
                         Contains("left foot " + made.label(0) + " (") && !Contains(" points against "));
  }
}

TEST_CASE("How pairs feel does not decide between one that is unsuitable as it is and one that is not", "[tell]") {
  MadeUp made;
  made.comparison.tied_with_best = {1};
  const auto told = [&] { return joined_lines(comparison_text(made.telling)); };
  made.put(1, 4, 12);
  CHECK_THAT(told(), Catch::StartsWith("Bring out first: " + made.label(0)) && !Contains("how they feel") &&
                         Contains("As near is " + made.label(1)) && Contains("but unsuitable as it is."));
  made.put(0, 4, 12);
  CHECK_THAT(told(), Catch::StartsWith("Nothing on this shelf suits") && !Contains("how they feel") &&
                         Contains("but unsuitable as it is."));
  made.put(1, 0, 60);
  CHECK_THAT(told(), Catch::StartsWith("The nearest is " + made.label(0)) && !Contains("how they feel") &&
                         Contains("is as near, with nothing unsuitable") && !Contains("has more to alter") &&
                         !Contains("As near is"));
}

TEST_CASE("A design that the stock names as a file is told without the file's ending", "[tell]") {
  MadeUp made;
  made.inputs.stock.items[0].design = "parallel.toml";
  for (const std::string& text : {joined_lines(comparison_text(made.telling)), all_of(client_page(made.telling)),
                                  all_of(workshop_page(made.telling))}) {
    CHECK_THAT(text, Contains("parallel, ") && !Contains(".toml"));
  }
}

TEST_CASE("Pairs that may tie are named, three of them", "[tell]") {
  MadeUp made;
  made.inputs.stock.items = shelf({235, 240}, {90}, {2.0}, 6);
  made.comparison.may_tie = {1, 2, 3, 4};
  const std::string some = fmt::format("May tie, not solved in every position: {}, {}, {} and 1 more.", made.label(1),
                                       made.label(2), made.label(3));
  for (const std::string& text : {joined_lines(comparison_text(made.telling)), all_of(client_page(made.telling)),
                                  all_of(workshop_page(made.telling))})
    CHECK_THAT(text, Contains(some));
}

TEST_CASE("No page calls a pair faultless in which the foot does not go in or finds no balance", "[tell]") {
  MadeUp made;
  made.put(0, 0, 1);
  CHECK_THAT(all_of(client_page(made.telling)), Contains("Nothing to fault was found in this pair."));
  auto& left = made.comparison.pairs.ranking[0].answers[1]["on-box"];
  left.goes_in = false;
  for (const auto& page : {client_page(made.telling), workshop_page(made.telling)}) {
    CHECK_THAT(all_of(page), Contains("unsuitable - does not go in (on the box, without weight)"));
    CHECK_THAT(all_of(page), !Contains("othing to fault"));
  }
  left.goes_in = true, left.converged = false, left.reason = "it slips";
  CHECK_THAT(all_of(client_page(made.telling)),
             Contains("not solved, on the box, without weight: it slips") && !Contains("Nothing to fault"));
}

TEST_CASE("A child's cautions are said where only the card gives her age", "[tell]") {
  MadeUp made;
  const std::string grows = "no room to grow";
  CHECK_THAT(joined_lines(comparison_text(made.telling)), !Contains(grows));
  foot::Foot child = *made.inputs.left.foot;
  child.age_years = 12;
  made.inputs.left.foot = std::make_shared<const foot::Foot>(child);
  for (const std::string& text : {joined_lines(comparison_text(made.telling)), all_of(client_page(made.telling)),
                                  all_of(workshop_page(made.telling))})
    CHECK_THAT(text, Contains(grows) && Contains("12 years do not either way"));
  // What the visit says counts before it.
  made.visit.age_years = 18;
  made.telling.visit = &made.visit;
  CHECK_THAT(joined_lines(comparison_text(made.telling)), !Contains(grows));
}

TEST_CASE("The order sheet has one size for the pair, and tells what is proposed from what is worn", "[tell]") {
  MadeUp made;
  const auto cell = [&](const std::string& part, const std::string& row, std::size_t column) -> std::string {
    for (const report::PagePart& one : workshop_page(made.telling).parts)
      if (one.title.starts_with(part))
        for (const auto& cells : one.grid.rows)
          if (cells.front() == row) return cells.at(column);
    return "no such row";
  };
  const shoe::ShoeParameters& shelf = made.inputs.stock.items[0].shoe;
  CHECK(cell("Shoe and order", "taper of the box, 0 to 1", 1) == fmt::format("{:.2f}", shelf.plan_taper));
  CHECK(cell("Shoe and order", "shank thickness", 1) == "2.0");
  CHECK(cell("Shoe and order", "cut", 1) == "straight");
  CHECK(cell("Shoe and order", "inner length", 1) == fmt::format("{:.1f}", shelf.inner_length_mm));
  // The larger foot, the right one, asks for 5 mm shorter, the other for 10 mm: one pair.
  made.comparison.advice[0].offers = {offer_of("shorter", 5, "spare_length_mm", by_measure, Grade::change)};
  made.comparison.advice[1].offers = {offer_of("shorter", 10, "spare_length_mm", by_measure, Grade::change),
                                      offer_of("padding_tips", 2, "spare_length_mm", by_measure, Grade::change)};
  const std::string shorter = fmt::format("{:.1f}  (changed)", shelf.inner_length_mm - 5);
  CHECK(cell("Shoe and order", "inner length", 2) == shorter);
  CHECK(cell("Shoe and order", "inner length", 3) == shorter);
  CHECK(cell("Ribbons", "laid in", 1) == "nothing (proposed: 2.0 mm of padding under the toe tips)");
  CHECK(cell("Ribbons", "laid in", 2) == "nothing");
  // A taper that is ordered is a changed row.
  made.comparison.advice[0].offers = {offer_of("more_parallel", 0.1, "crowding_index", "on-box", Grade::change)};
  made.comparison.advice[1].offers.clear();
  CHECK(cell("Shoe and order", "taper of the box, 0 to 1", 3) ==
        fmt::format("{:.2f}  (changed)", shelf.plan_taper - 0.1));
  CHECK(cell("Shoe and order", "taper of the box, 0 to 1", 2) == fmt::format("{:.2f}", shelf.plan_taper));
}

TEST_CASE("What helps has one amount of each kind of change, and a pair is of one size", "[tell]") {
  MadeUp made;
  made.comparison.advice[0].offers = {offer_of("shorter", 10, "spare_length_mm", by_measure, Grade::unsuitable),
                                      offer_of("shorter", 5, "spare_length_mm", by_measure, Grade::change),
                                      offer_of("padding_tips", 4, "spare_length_mm", by_measure, Grade::change)};
  made.comparison.advice[1].offers = {offer_of("shorter", 5, "spare_length_mm", by_measure, Grade::change),
                                      offer_of("padding_tips", 2, "spare_length_mm", by_measure, Grade::change)};
  const std::string client = all_of(client_page(made.telling));
  CHECK_THAT(client, Contains("Right foot: a shoe 10 mm shorter, because a cause.") &&
                         Contains("Right foot: 4 mm of padding under the toe tips, because") &&
                         Contains("Left foot: 2 mm of padding under the toe tips, because"));
  CHECK_THAT(client, !Contains("5 mm shorter"));
}

TEST_CASE("Before, after and limit have their unit, no minus before nothing, and no key of a position", "[tell]") {
  const Offer offer = offer_of("heel_shaping", 8, "heel_slack_mm", "on-box", Grade::change);
  CHECK(before_and_after(offer) == "heel slack 12.0 becomes 0.0 mm; limit 9 mm (on the box, without weight)");
  MadeUp made;
  made.comparison.advice[0].offers = {offer};
  made.comparison.pairs.ranking[1].complete = false;
  made.comparison.pairs.ranking[1].left_at = "on-box";
  const std::string text = joined_lines(comparison_text(made.telling));
  CHECK_THAT(text, Contains("left after on the box, without weight") && Contains("2 shoes: "));
  made.comparison.pairs.ranking.resize(1);
  made.comparison.pairs.solves = 1;
  CHECK_THAT(joined_lines(comparison_text(made.telling)), Contains("1 shoe: ") && Contains("; 1 solve, "));
  for (const std::string& words : {text, all_of(workshop_page(made.telling)), all_of(client_page(made.telling))})
    CHECK_THAT(words, !Contains("on-box") && !Contains("-0.0"));
  CHECK_THAT(all_of(workshop_page(made.telling)), Contains("change - a cause"));
}

TEST_CASE("Peak pressure is shown, not graded: terminal, workshop page, JSON", "[tell]") {
  MadeUp made;
  made.comparison.pairs.ranking[0].answers[0]["on-box"].peak_kPa = 91.6;  // of the right foot, the larger
  CHECK_THAT(comparison_text(made.telling),
             Contains("shown and not graded") && Contains("on the box, without weight: left 87 kPa, right 92 kPa"));
  CHECK_THAT(all_of(workshop_page(made.telling)), Contains("on the box, without weight | 87 | 92"));
  const io::Json json = comparison_json(made.telling);
  CHECK(json["ranking"][0]["feet"][0]["positions"]["on-box"]["peak_kPa"] == 91.6);
  CHECK(json["ranking"][0]["feet"][0]["positions"][by_measure]["peak_kPa"].is_null());
  for (const ValueName& name : solved_names()) CHECK(name.unit != "kPa");
}

TEST_CASE("The visit's facts and its open questions are on terminal, workshop page and in JSON", "[tell]") {
  MadeUp made;
  CHECK_THAT(comparison_text(made.telling), Contains("No visit was given"));
  CHECK(comparison_json(made.telling)["visit"].is_null());
  made.visit.dance_years = 8, made.visit.hours_per_week = 9;
  made.visit.readiness.resize(readiness_questions().size());
  made.visit.readiness[0] = true;
  made.telling.visit = &made.visit;
  for (const std::string& text : {comparison_text(made.telling), all_of(workshop_page(made.telling))}) {
    CHECK_THAT(text, Contains("8 years of dance, 9 hours of dance a week"));
    CHECK_THAT(text, Contains("Not asked: Is she free of pain in foot, ankle and shin?"));
    CHECK_THAT(text, !Contains("Not asked: Does the teacher"));
  }
  const io::Json json = comparison_json(made.telling)["visit"];
  CHECK(json["dance_years"] == 8);
  CHECK(json["hours_per_week"] == 9);
  CHECK(json["readiness"]["teacher_agrees"] == true);
  CHECK(json["readiness"]["free_of_pain"].is_null());
  CHECK(json["not_asked"].size() == readiness_questions().size() - 1);
}

TEST_CASE("Without advice the pages tell what is wrong, and that no changes were tried", "[tell]") {
  MadeUp made;
  made.comparison.advice.clear();
  const std::string client = all_of(client_page(made.telling)), workshop = all_of(workshop_page(made.telling));
  CHECK_THAT(client, Contains("Both feet: change - cloth bags at the heel.") && Contains("No changes were tried."));
  CHECK_THAT(client, !Contains("Nothing to fault") && !Contains("No change is needed"));
  CHECK_THAT(workshop, Contains("not tried"));
}

TEST_CASE("Cautions come first for a client who has pain or is not ready, else last", "[tell]") {
  MadeUp made;
  made.telling.visit = &made.visit;
  CHECK(client_page(made.telling).parts.back().title == "Cautions");
  made.visit.hurts = {"left heel"};
  const report::FittingPage page = client_page(made.telling);
  CHECK(page.parts.front().title == "Cautions");
  CHECK(page.parts.back().title == "Care");
}
