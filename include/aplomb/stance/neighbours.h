// Two stances a hair apart on either side of one, without solving again: what derivatives of findings are made of.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <optional>

#include "aplomb/stance/stand.h"

namespace aplomb::stance {

/// What stands: one number of foot, shoe or options differs a little from the middle's.
struct Standing {
  std::shared_ptr<const foot::Foot> foot;
  std::shared_ptr<const shoe::Shoe> shoe;
  StandOptions options;
};

struct Neighbours {
  Stance minus, plus;
  int corrections = 0;  ///< of balances on the way, see contact::beside_path()
};

/// The stances of `minus` and `plus`, first order about `middle` along its path: half their difference in any finding
/// over half the difference of the number is the finding's derivative, as long as what touches does not change.
/// `middle` is stand()'s answer to `of`; the tighter its tolerances, the truer. Of a roll-down every height is moved.
/// Nothing where a path does not close. Errors: as stand(). Pre: middle converged.
io::Result<std::optional<Neighbours>> neighbours(const Stance& middle, const Standing& of, const Standing& minus,
                                                 const Standing& plus);

}  // namespace aplomb::stance
