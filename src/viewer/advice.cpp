// Rules, offers and the numbers that a change moves.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "advice.h"

#include "aplomb/shop/tell.h"
#include "aplomb/shop/values.h"
#include "changes.h"
#include "solve_job.h"

namespace aplomb::viewer {

std::vector<Verdict> judge(const shop::Rules& rules, const shop::Answers& answers) {
  std::vector<Verdict> verdicts;
  for (const auto& [position, solved] : answers)
    if (const auto failed = shop::failures({{position, solved}}); !failed.empty())
      verdicts.push_back({"solved." + position, shop::Grade::unsuitable,
                          solved.goes_in ? "no balance was found" : "the foot does not go in", failed.front()});
  for (const shop::Raised& one : shop::raised(rules, answers))
    verdicts.push_back({one.rule->id, one.rule->grade, one.rule->cause, shop::evidence(one)});
  return verdicts;
}

shop::Solved answer_of(const findings::Findings& findings) {
  return {findings.converged, findings.reason, findings.goes_in, shop::values_of(findings), findings.peak_kPa};
}

io::Result<Source> with_try(const Source& shoe, const shop::Try& attempt, foot::Side side) {
  const auto file = shoe::parse_shoe(shoe.text, shoe.file);
  if (!file) return tl::unexpected(file.error());
  const auto now = parameters_of(shoe);
  if (!now) return tl::unexpected(now.error());
  const auto changed = shop::altered(*now, attempt, side);
  if (!changed) return tl::unexpected(changed.error());
  Source source = shoe;
  std::tie(source.changes, source.words) = changes_between(*file, *changed);
  // What the result of a number typed in and taken back was is not told apart here; it is checked as a file is.
  if (const auto checked = parameters_of(source); !checked) return tl::unexpected(checked.error());
  return source;
}

}  // namespace aplomb::viewer
