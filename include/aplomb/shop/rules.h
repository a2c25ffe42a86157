// The editable rules that turn findings into words, grades and what to try.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "aplomb/io/error.h"
#include "aplomb/shop/alterations.h"
#include "aplomb/shop/values.h"

namespace aplomb::shop {

/// good: worth saying, costs nothing. change: something to alter. unsuitable: not this shoe as it is.
enum class Grade { good, change, unsuitable };
extern const char* const grade_names[3];

/// A finding in a position ("measure" for what needs no solve) above or below a threshold.
struct Condition {
  std::string finding, position;
  bool above = true;  ///< op ">" or "<"
  double value = 0;
};

struct Rule {
  std::string id;
  Condition condition;
  std::string unit;
  double step = 1;  ///< past the threshold by this much costs one point (three where unsuitable)
  Grade grade = Grade::change;
  std::string cause;            ///< in plain words
  std::vector<Condition> when;  ///< further conditions, all of which must hold
  std::vector<Try> tries;       ///< in order of reach
  int line = 0;
};

struct Rules {
  std::vector<Rule> rules;
  std::string file, hash;
  /// Positions that any rule speaks of, as named in files; by_measure is not among them.
  std::vector<std::string> positions() const;
};

/// Reads meshes/rules.toml (format "aplomb-rules"). Errors (bad_input), one line each, with the rule's line: a finding,
/// position or change that does not exist; a finding that its position does not make; a wrong unit, so that kPa cannot
/// be graded; an amount out of range; the same id twice; a rule that nothing can raise, that tries a change and its
/// opposite, or tries out of the order of reach; two rules that contradict one another (their thresholds overlap and
/// the one tries the opposite of the other, or one calls good what the other does not).
io::Result<Rules> read_rules(const std::filesystem::path& file);
io::Result<Rules> parse_rules(std::string_view text, const std::string& file_name);

/// What is known of one foot in one shoe in one position.
struct Solved {
  bool converged = false;
  std::string reason;  ///< why not
  bool goes_in = true;
  Values values;
  findings::Number peak_kPa{};  ///< shown, never graded
};
/// By position; by_measure among them.
using Answers = std::map<std::string, Solved, std::less<>>;

/// A rule whose conditions hold.
struct Raised {
  const Rule* rule = nullptr;
  double value = 0;
  double cost = 0;  ///< points: value past the threshold over the step, three times that where unsuitable
};

/// Points for a foot that does not go in, and for a position in which no balance was found: nothing good is known of
/// it.
inline constexpr double does_not_go_in_cost = 100, not_solved_cost = 50;

/// Rules that hold, dearest first; only those all of whose positions are in `answers` and solved.
std::vector<Raised> raised(const Rules& rules, const Answers& answers);

/// Sum of the points. Never falls as positions are added: the cost of some positions is a lower bound of that of all.
double cost(const Rules& rules, const Answers& answers);

}  // namespace aplomb::shop
