// Rules, offers and the numbers that a change moves.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "advice.h"

#include <fmt/format.h>

#include "aplomb/shop/values.h"
#include "changes.h"
#include "solve_job.h"
#include "widgets.h"

namespace aplomb::viewer {

std::vector<Verdict> judge(const shop::Rules& rules, const shop::Answers& answers) {
  std::vector<Verdict> verdicts;
  for (const shop::Raised& one : shop::raised(rules, answers))
    verdicts.push_back({one.rule->id, one.rule->grade, one.rule->cause, shop::why(one)});
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

std::string what_it_does(const shop::Offer& offer) {
  const shop::ValueName* name = shop::value_named(offer.finding, offer.position == shop::by_measure);
  const bool share = name == nullptr || name->unit == "share";
  const int decimals = share ? 2 : 1;
  return fmt::format("{} {} becomes {}{}, limit {:g}", name == nullptr ? offer.finding : name->words,
                     shown_number(offer.before, decimals, true), shown_number(offer.after, decimals, true),
                     share ? "" : " " + name->unit, offer.threshold);
}

}  // namespace aplomb::viewer
