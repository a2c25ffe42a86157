// What the rules say of a foot in a shoe, and a change that they name as changed numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/shop/advise.h"
#include "choice.h"

namespace aplomb::viewer {

/// A rule that holds.
struct Verdict {
  std::string rule;  ///< "solved.POSITION": no rule, but the foot does not go in there or finds no balance
  shop::Grade grade = shop::Grade::change;
  std::string cause;  ///< in plain words
  std::string why;    ///< shop::evidence()
  bool of_rule() const { return !rule.starts_with("solved."); }
};

/// Dearest first; rules of positions that are not in `answers` yet are left out.
std::vector<Verdict> judge(const shop::Rules& rules, const shop::Answers& answers);

/// The numbers of a solved position as rules read them.
shop::Solved answer_of(const findings::Findings& findings);

/// The shoe with a change of the rules made to it, as numbers changed on top of its file. Errors: as shop::altered().
io::Result<Source> with_try(const Source& shoe, const shop::Try& attempt, foot::Side side);

}  // namespace aplomb::viewer
