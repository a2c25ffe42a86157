// Reading rules: every word of a rule is looked up while it is read, so that a fault is told with its line.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/rules.h"

#include <fmt/format.h>

#include <algorithm>

#include "aplomb/io/toml.h"
#include "aplomb/stance/positions.h"
#include "contradictions.h"
#include "plain_text.h"

namespace aplomb::shop {

const char* const grade_names[3] = {"good", "change", "unsuitable"};

namespace {

const io::FileFormat format{.name = "aplomb-rules", .version = 1};

std::vector<std::string> known_positions() {
  std::vector<std::string> names = stance::position_names();
  names.insert(names.begin(), by_measure);
  return names;
}

constexpr const char* all_names = "all names are at the end of rules.toml in the data folder";

std::string did_you_mean(const std::string& word, const std::vector<std::string>& known) {
  const std::string nearest = io::nearest_name(word, known);
  return nearest.empty() ? all_names : fmt::format("did you mean \"{}\"? {}", nearest, all_names);
}

/// A finding that its position does not make would never raise anything.
void check_made(io::TomlReader& reader, const Condition& condition) {
  std::string made;
  for (const std::string& name : stance::position_names())
    if (made_in(condition.finding, name)) made += (made.empty() ? "" : ", ") + name;
  if (!made_in(condition.finding, condition.position))
    reader.refuse("position", fmt::format("in {} there is no {}", condition.position, condition.finding),
                  "it is found in " + made);
}

/// Finding, position, op and value of a rule or of one of its further conditions; the finding's unit.
std::string read_condition(io::TomlReader& reader, Condition& condition) {
  static const std::vector<std::string> positions = known_positions();
  condition.finding = reader.string("finding");
  condition.position = positions[static_cast<std::size_t>(reader.choice("position", positions))];
  condition.above = reader.choice("op", {">", "<"}) == 0;
  condition.value = reader.number("value", {-1000, 1000});
  if (reader.refused()) return {};
  const bool measured = condition.position == by_measure;
  if (const ValueName* name = value_named(condition.finding, measured)) {
    if (!measured) check_made(reader, condition);
    return name->unit;
  }
  std::vector<std::string> known;
  for (const ValueName& name : measured ? measured_names() : solved_names()) known.push_back(name.name);
  if (condition.finding.find("kPa") != std::string::npos)
    reader.refuse("finding",
                  fmt::format("\"{}\" is an absolute pressure, which is shown and not graded", condition.finding),
                  "use peak_share.ball_medial, a load share or another finding");
  else
    reader.refuse("finding",
                  fmt::format("\"{}\" is no finding {}", condition.finding,
                              measured ? "that can be measured without a solve" : "of a solved position"),
                  did_you_mean(condition.finding, known));
  return {};
}

void read_tries(io::TomlReader& reader, Rule& rule) {
  for (io::TomlReader& one : reader.tables("try")) {
    Try attempt;
    attempt.change = one.string("change");
    attempt.by = one.number("by");
    if (one.refused()) return;
    const Change* change = change_named(attempt.change);
    if (change == nullptr) {
      std::vector<std::string> known;
      for (const Change& c : changes()) known.push_back(c.name);
      one.refuse("change", fmt::format("\"{}\" is no change", attempt.change), did_you_mean(attempt.change, known));
      return;
    }
    if (const auto fault = io::check_range("by", attempt.by, change->range)) {
      one.refuse("by", fmt::format("{} {} is no amount for \"{}\"", attempt.by, change->unit, change->name),
                 fmt::format("give {:g} to {:g} {}", change->range.min, change->range.max, change->unit));
      return;
    }
    if (std::find(rule.tries.begin(), rule.tries.end(), attempt) != rule.tries.end()) {
      one.refuse("change", fmt::format("\"{}\" by {:g} is tried twice", attempt.change, attempt.by),
                 "keep one of them");
      return;
    }
    rule.tries.push_back(attempt);
  }
}

Rule read_rule(io::TomlReader& reader) {
  Rule rule;
  rule.line = reader.line("id");
  rule.id = required_text(reader, "id");
  const std::string unit = read_condition(reader, rule.condition);
  rule.unit = reader.string("unit");
  if (!reader.refused() && rule.unit != unit)
    reader.refuse("unit", fmt::format("is \"{}\", but {} is in \"{}\"", rule.unit, rule.condition.finding, unit),
                  fmt::format("write \"{}\" and check the value", unit));
  rule.step = reader.number("step", {1e-4, 1000});
  rule.grade = static_cast<Grade>(reader.choice("grade", {grade_names[0], grade_names[1], grade_names[2]}));
  rule.cause = required_text(reader, "cause", most_said);
  if (!reader.refused() && rule.id.empty()) reader.refuse("id", "is empty", "give the rule a name of its own");
  if (!reader.refused() && rule.cause.empty()) reader.refuse("cause", "is empty", "say in plain words what is wrong");
  if (!reader.refused() && rule.condition.finding == "foot.age_years")
    reader.refuse("finding", "is her age, and age alone decides nothing", "grade a finding, with the age under when");
  for (io::TomlReader& one : reader.tables("when")) {
    Condition condition;
    read_condition(one, condition);
    rule.when.push_back(condition);
  }
  read_tries(reader, rule);
  if (!reader.refused() && rule.grade == Grade::good && !rule.tries.empty())
    reader.refuse("grade", "is good, and still something is to be tried", "leave out try, or grade it as a change");
  return rule;
}

io::Result<Rules> read(io::TomlReader& reader) {
  Rules rules;
  rules.file = reader.file_name();
  rules.hash = reader.hash();
  for (io::TomlReader& one : reader.tables("rule")) {
    Rule rule = read_rule(one);
    if (one.refused()) break;
    auto fault = contradiction_in(rule);
    if (!fault) fault = contradiction_with(rules.rules, rule);
    if (fault) one.refuse(fault->field, fault->message, fault->remedy);
    rules.rules.push_back(std::move(rule));
  }
  if (const auto done = reader.finish(); !done) return tl::unexpected(done.error());
  if (rules.rules.empty())
    return io::fail({.file = rules.file,
                     .line = 1,
                     .field = "rule",
                     .message = "there are no rules",
                     .remedy = "add [[rule]] tables"});
  return rules;
}

}  // namespace

io::Result<Rules> read_rules(const std::filesystem::path& file) {
  auto reader = io::TomlReader::open(file, format, "--rules");
  if (!reader) return tl::unexpected(reader.error());
  return read(*reader);
}

io::Result<Rules> parse_rules(std::string_view text, const std::string& file_name) {
  auto reader = io::TomlReader::parse(text, file_name, format);
  if (!reader) return tl::unexpected(reader.error());
  return read(*reader);
}

std::vector<std::string> Rules::positions() const {
  std::vector<std::string> used;
  for (const std::string& name : stance::position_names()) {
    const auto speaks = [&](const Condition& c) { return c.position == name; };
    for (const Rule& rule : rules)
      if (speaks(rule.condition) || std::any_of(rule.when.begin(), rule.when.end(), speaks)) {
        used.push_back(name);
        break;
      }
  }
  return used;
}

}  // namespace aplomb::shop
