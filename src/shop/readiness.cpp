// Whether she is ready: what is asked, what is known, and what follows where a question was left out.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "aplomb/shop/visit.h"

namespace aplomb::shop {

namespace {

bool asked(const Visit& visit, std::string_view key) {
  for (std::size_t k = 0; k < visit.readiness.size(); ++k)
    if (readiness_questions()[k].key == key) return visit.readiness[k].has_value();
  return false;
}

}  // namespace

const std::vector<ReadinessQuestion>& readiness_questions() {
  // Literature G1-G9 (readiness) and common practice; none of them decides by itself.
  static const std::vector<ReadinessQuestion> questions = {
      {"teacher_agrees", "Does the teacher say that she is ready?",
       "The teacher has not said that she is ready: ask before anything is bought."},
      {"seen_by_clinician", "Has someone in dance medicine looked at her feet and ankles?",
       "Nobody in dance medicine has looked at her feet and ankles: a check before the first pair is advised."},
      {"free_of_pain", "Is she free of pain in foot, ankle and shin?",
       "She has pain: no pointe work until a clinician has looked at it."},
      {"several_years_of_training", "Has she trained for three or four years?",
       "Less training than is usual before pointe: the teacher decides."},
      {"two_classes_a_week", "Does she take two classes a week or more?",
       "One class a week is little for pointe work: the teacher decides."},
      {"holds_single_leg_rises", "Can she rise on one leg many times, knee straight, without tiring?",
       "Rises on one leg still tire her: strength first."},
  };
  return questions;
}

std::vector<std::string> facts_of(const Visit& visit) {
  std::vector<std::string> facts;
  const auto add = [&](const std::optional<double>& value, const char* one, const char* many) {
    if (value) facts.push_back(fmt::format("{:g} {}", *value, *value == 1 ? one : many));
  };
  add(visit.age_years, "year old", "years old");
  add(visit.mass_kg, "kg", "kg");
  add(visit.dance_years, "year of dance", "years of dance");
  add(visit.hours_per_week, "hour of dance a week", "hours of dance a week");
  if (visit.evening) facts.emplace_back("measured late in the day");
  return facts;
}

std::vector<std::string> not_asked(const Visit& visit) {
  std::vector<std::string> questions;
  for (const ReadinessQuestion& one : readiness_questions())
    if (!asked(visit, one.key)) questions.emplace_back(one.question);
  return questions;
}

std::string training_caution(const Visit& visit) {
  // Begun in the fourth year of training, and hardly with one class a week: literature G2, G9. Two classes of an hour
  // and a half [G].
  constexpr double few_years = 3, few_hours = 3;
  std::vector<std::string> little;
  if (!asked(visit, "several_years_of_training") && visit.dance_years && *visit.dance_years < few_years)
    little.push_back(fmt::format("{:g} {} of dance", *visit.dance_years, *visit.dance_years == 1 ? "year" : "years"));
  if (!asked(visit, "two_classes_a_week") && visit.hours_per_week && *visit.hours_per_week < few_hours)
    little.push_back(
        fmt::format("{:g} {} a week", *visit.hours_per_week, *visit.hours_per_week == 1 ? "hour" : "hours"));
  if (little.empty()) return {};
  return fmt::format(
      "Little training for this load ({}): teacher and dance-medicine clinician decide; age alone decides nothing.",
      fmt::join(little, ", "));
}

bool stops(const Visit& visit) {
  return !visit.hurts.empty() || std::any_of(visit.readiness.begin(), visit.readiness.end(),
                                             [](const auto& answer) { return answer == false; });
}

}  // namespace aplomb::shop
