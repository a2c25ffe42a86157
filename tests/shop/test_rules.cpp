// Rules: what is read, what is refused with its line, what they make of numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>

#include "../source_data.h"
#include "aplomb/shop/rules.h"
#include "aplomb/stance/positions.h"

using namespace aplomb;
using namespace aplomb::shop;
using Catch::Contains;
using source_data::need;

namespace {

const std::string head = "format = \"aplomb-rules\"\nformat_version = 1\n";

std::string rule(const std::string& id, const std::string& finding, const std::string& position, const std::string& op,
                 double value, const std::string& unit, const std::string& grade, const std::string& tries) {
  return fmt::format(
      "[[rule]]\nid = \"{}\"\nfinding = \"{}\"\nposition = \"{}\"\nop = \"{}\"\nvalue = {}\nunit = \"{}\"\nstep = 2\n"
      "grade = \"{}\"\ncause = \"words\"\ntry = [{}]\n",
      id, finding, position, op, value, unit, grade, tries);
}

std::string depth(const std::string& id, const std::string& op, double value, const std::string& tries,
                  const std::string& grade = "change") {
  return rule(id, "depth_mm", "full-pointe-two", op, value, "mm", grade, tries);
}

std::string when(const std::string& finding, const std::string& position, const std::string& op, double value) {
  return fmt::format("[[rule.when]]\nfinding = \"{}\"\nposition = \"{}\"\nop = \"{}\"\nvalue = {}\n", finding, position,
                     op, value);
}

const std::string narrower = "{ change = \"narrower\", by = 3 }", broader = "{ change = \"broader\", by = 3 }";

Answers answers(double depth_mm, double spare_mm) {
  Answers all;
  all[by_measure] = {true, "", true, {{"spare_length_mm", spare_mm}}};
  all["full-pointe-two"] = {true, "", true, {{"depth_mm", depth_mm}}};
  return all;
}

}  // namespace

TEST_CASE("The house's rules are read, name what they use, and never grade a pressure", "[rules]") {
  const Rules rules = need(read_rules(source_data::meshes() / "rules.toml"));
  CHECK(rules.rules.size() >= 20);
  for (const Rule& one : rules.rules) {
    CAPTURE(one.id);
    CHECK(one.line > 0);
    CHECK(one.cause.size() > 10);
    CHECK(one.unit != "kPa");
    CHECK((one.grade == Grade::good || !one.tries.empty()));
    // In order of reach: what the shelf may hold before what is ordered, the bench, what is laid in.
    CHECK(std::is_sorted(one.tries.begin(), one.tries.end(), [](const Try& a, const Try& b) {
      return change_named(a.change)->reach < change_named(b.change)->reach;
    }));
  }
}

namespace {

/// Names as they stand at the end of the house's rules: one row a name, toes told together.
std::vector<std::string> rows_of_names() {
  std::vector<std::string> rows;
  for (const ValueName& name : measured_names())
    rows.push_back(fmt::format("#   {} [{}]: {}", name.name, name.unit, name.words));
  for (const ValueName& name : solved_names()) {
    std::string finding = name.name, in;
    if (const auto toe = finding.find("hallux"); toe != std::string::npos)
      finding.replace(toe, 6, "TOE");
    else if (finding.starts_with("toes.") || finding.starts_with("crown_gap_mm."))
      continue;
    std::string not_in;
    std::size_t missing = 0;
    for (const std::string& position : stance::position_names())
      if (made_in(name.name, position))
        in += " " + position;
      else
        not_in = position, ++missing;
    if (missing < 2) in = " every position" + (missing == 1 ? " but " + not_in : "");
    rows.push_back(fmt::format("#   {} [{}]:{}", finding, name.unit, in));
  }
  for (const Change& change : changes())
    rows.push_back(fmt::format("#   {} [{:g} to {:g} {}]: {}", change.name, change.range.min, change.range.max,
                               change.unit, reach_names[static_cast<int>(change.reach)]));
  return rows;
}

}  // namespace

TEST_CASE("The names at the end of the house's rules are those that rules may use, all of them", "[rules]") {
  std::ifstream file(source_data::meshes() / "rules.toml");
  std::vector<std::string> listed;
  for (std::string line; std::getline(file, line);)
    if (line.starts_with("#   ")) listed.push_back(line);
  CHECK(listed == rows_of_names());
}

TEST_CASE("On the way down what counts is the most while box or sole lie on the floor", "[rules]") {
  findings::Findings f;
  f.converged = true;
  CHECK_FALSE(values_of(f).contains("way_down.shank_gap_mm"));
  CHECK_FALSE(values_of(f).contains("rise.mtp_left_deg"));
  findings::HeightFinding high, ball, sole;
  high.on_floor = "platform", high.shank_gap_mm = 30, high.heel_slack_mm = 35;
  ball.on_floor = "box", ball.shank_gap_mm = 15, ball.heel_slack_mm = -23;
  sole.on_floor = "sole", sole.shank_gap_mm = 2, sole.heel_slack_mm = -7;
  f.way_down = {high, ball, sole};
  f.rise = findings::RiseFinding{100, 62, -3, false};
  const auto values = values_of(f);
  CHECK(values.at("way_down.shank_gap_mm") == 15);
  CHECK(values.at("way_down.heel_over_mm") == 23);
  CHECK(values.at("rise.mtp_left_deg") == -3);
  Answers answers;
  answers["demi-pointe"] = {true, "", true, values};
  const Rules rules = need(read_rules(source_data::meshes() / "rules.toml"));
  const auto all = raised(rules, answers);
  REQUIRE(all.size() == 1);
  CHECK(all[0].rule->id == "cannot_roll_through");
}

TEST_CASE("The house's rules speak of every position in which a shoe holds the foot up or lets it down", "[rules]") {
  const auto positions = need(read_rules(source_data::meshes() / "rules.toml")).positions();
  for (const char* name : {"demi-plie", "on-box", "demi-pointe", "full-pointe-two", "full-pointe-one", "roll-down"})
    CHECK(std::find(positions.begin(), positions.end(), name) != positions.end());
}

TEST_CASE("A rule that cannot be meant is refused in one line with its own line number", "[rules]") {
  struct Bad {
    std::string text, says;
    int line;
  };
  const std::vector<Bad> bad = {
      {depth("a", ">", 7, narrower) + rule("b", "dept_mm", "full-pointe-two", ">", 1, "mm", "change", ""),
       "did you mean \"depth_mm\"?", 16},
      {rule("a", "peak_kPa", "full-pointe-two", ">", 300, "kPa", "change", ""), "shown and not graded", 5},
      {rule("a", "depth_mm", "full-pointe-too", ">", 3, "mm", "change", ""), "did you mean \"full-pointe-two\"?", 6},
      {rule("a", "depth_mm", "measure", ">", 3, "mm", "change", ""), "measured without a solve", 5},
      {rule("a", "depth_mm", "full-pointe-two", ">", 3, "deg", "change", ""), "is in \"mm\"", 9},
      {rule("a", "depth_mm", "full-pointe-two", "=", 3, "mm", "change", ""), "not one of", 7},
      {rule("a", "depth_mm", "full-pointe-two", ">", 3, "mm", "bad", ""), "not one of", 11},
      {depth("a", ">", 7, "{ change = \"narower\", by = 3 }"), "did you mean \"narrower\"?", 13},
      {depth("a", ">", 7, "{ change = \"narrower\", by = 30 }"), "is no amount", 13},
      {depth("a", ">", 7, narrower + ", " + narrower), "tried twice", 13},
      {depth("a", ">", 7, narrower) + depth("a", "<", 2, broader), "already the rule on line 4", 15},
      {depth("a", ">", 7, narrower) + depth("b", ">", 9, broader), "tries broader where", 24},
      {depth("a", ">", 7, "", "good") + depth("b", ">", 9, narrower), "good and not good", 22},
      {depth("a", ">", 7, narrower, "good"), "still something is to be tried", 11},
      {rule("a", "heel_slack_mm", "full-pointe-two", ">", 3, "mm", "change", ""),
       "in full-pointe-two there is no heel_slack_mm; it is found in parallel, demi-plie, on-box, roll-down", 6},
      {rule("a", "rise.mtp_left_deg", "roll-down", "<", 0, "deg", "change", ""), "it is found in demi-pointe", 6},
      {depth("a", ">", 7, narrower) + when("heel_slack_mm", "full-pointe-one", ">", 1), "it is found in parallel", 16},
      {depth("a", ">", 7, narrower + ", { change = \"padding_ball\", by = 1 }, " + broader),
       "\"a\" tries narrower and its opposite, broader", 13},
      {depth("a", ">", 7, narrower) + when("depth_mm", "full-pointe-two", "<", 6),
       "depth_mm < 6 (full-pointe-two) excludes depth_mm > 7 (full-pointe-two)", 14},
      {depth("a", ">", 7, narrower) + when("foot.pointing_deg", "measure", "<", 80) +
           when("foot.pointing_deg", "measure", ">", 80),
       "foot.pointing_deg > 80 (measure) excludes foot.pointing_deg < 80 (measure)", 14},
      {depth("a", ">", 7, "{ change = \"padding_ball\", by = 1 }, " + narrower),
       "narrower (size) stands behind padding_ball (fitting); put tries in order of reach", 13},
      {depth("a", ">", 7, "{ change = \"unheard_of\", by = 1 }"), "all names are at the end of rules.toml", 13},
      {rule("a", "spare_width", "measure", ">", 3, "mm", "change", ""), "all names are at the end of rules.toml", 5},
      {"[[rule]]\nid = \"a\"\n", "is missing", 3},
      {"", "no rules", 1},
  };
  for (const Bad& one : bad) {
    const auto rules = parse_rules(head + one.text, "r.toml");
    CAPTURE(one.text);
    REQUIRE_FALSE(rules);
    const std::string line = io::to_line(rules.error());
    CHECK_THAT(line, Contains(one.says));
    CHECK_THAT(line, Catch::StartsWith(fmt::format("r.toml:{}: ", one.line)));
    CHECK(line.find('\n') == std::string::npos);
  }
  // Conditions that leave room between them can be met.
  CHECK(parse_rules(head + depth("a", ">", 7, narrower) + when("depth_mm", "full-pointe-two", "<", 9), "r.toml"));
  // Opposite tries are no contradiction where no number raises both.
  CHECK(parse_rules(head + depth("a", ">", 7, narrower) + depth("b", "<", 2, broader), "r.toml"));
}

TEST_CASE("Points are the way past the threshold over the step, thrice that where unsuitable", "[rules]") {
  const Rules rules = need(parse_rules(head + depth("deep", ">", 7, narrower) +
                                           rule("long", "spare_length_mm", "measure", ">", 4, "mm", "unsuitable", ""),
                                       "r.toml"));
  CHECK(cost(rules, answers(7, 4)) == 0);
  CHECK(cost(rules, answers(10, 4)) == Approx(1.5));
  CHECK(cost(rules, answers(10, 5)) == Approx(1.5 + 3 * 0.5));
  const auto all = raised(rules, answers(8, 6));
  REQUIRE(all.size() == 2);
  CHECK(all[0].rule->id == "long");
  CHECK(all[1].rule->id == "deep");
  CHECK(all[1].value == 8);
  CHECK(rules.positions() == std::vector<std::string>{"full-pointe-two"});
}

TEST_CASE("A further condition holds a rule back until it is met", "[rules]") {
  const Rules rules =
      need(parse_rules(head + depth("deep", ">", 7, narrower) + when("spare_length_mm", "measure", ">", 2), "r.toml"));
  CHECK(cost(rules, answers(9, 1)) == 0);
  CHECK(cost(rules, answers(9, 3)) == Approx(1));
}

TEST_CASE("The cost never falls as more is known, so that a part of it bounds the whole", "[rules]") {
  const Rules rules = need(read_rules(source_data::meshes() / "rules.toml"));
  Answers known;
  double last = 0;
  known[by_measure] = {true, "", true, {{"spare_length_mm", 9}, {"spare_heel_mm", 0}, {"foot.pointing_deg", 80}}};
  for (const auto& next : std::vector<std::pair<std::string, Solved>>{
           {"on-box", {true, "", true, {{"heel_slack_mm", 15}}}},
           {"full-pointe-two", {true, "", true, {{"depth_mm", 11}, {"break_point.arch_fraction", -0.1}}}},
           {"demi-plie", {false, "no balance", true, {}}},
           {"parallel", {true, "", false, {}}}}) {
    const double before = cost(rules, known);
    CHECK(before >= last);
    last = before;
    known[next.first] = next.second;
    CHECK(cost(rules, known) > before);
  }
}

TEST_CASE("Id and cause are plain text, and age alone is no fault", "[rules]") {
  const auto refused = [](const std::string& text) {
    const auto rules = parse_rules(head + text, "r.toml");
    REQUIRE_FALSE(rules);
    return io::to_line(rules.error());
  };
  const std::string one = depth("deep", ">", 7, narrower);
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string text = one;
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
  };
  CHECK_THAT(refused(with("\"deep\"", "\"a\\u001bb\"")), Contains("id: ") && Contains("control character"));
  CHECK_THAT(refused(with("\"deep\"", "\"\"")), Contains("id: is empty"));
  CHECK_THAT(refused(rule("old", "foot.age_years", "measure", "<", 12, "years", "unsuitable", "")),
             Contains("finding: is her age, and age alone decides nothing"));
  CHECK(parse_rules(head + one + when("foot.age_years", "measure", "<", 12), "r.toml"));
}
