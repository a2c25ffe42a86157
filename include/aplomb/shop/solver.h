// Answers for one foot in one shoe in one position, remembered, and kept in a file so that a long run can go on.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>

#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/io/progress.h"
#include "aplomb/shoe/parameters.h"
#include "aplomb/shop/rules.h"
#include "aplomb/stance/stand.h"

namespace aplomb::shop {

using FootPtr = std::shared_ptr<const foot::Foot>;

/// Solves one position. Errors: cancelled, and what the shoe or the stand refuses.
using Solve =
    std::function<io::Result<Solved>(const FootPtr&, const shoe::ShoeParameters&, const std::string& position)>;

/// The solver that stands feet (stance::stand, findings::assess).
Solve stand_solver(const stance::Constants& constants, const contact::SolveOptions& options,
                   const io::Progress& progress);

/// Hash of every number of a shoe, layers included, as text keys of `Memory`.
std::string shoe_hash(const shoe::ShoeParameters& shoe);

/// Remembers answers by foot, shoe and position. Safe to ask from several threads; two that ask for the same at the
/// same time both solve it, to the same bits.
class Memory {
 public:
  /// `basis`: hash of everything else that an answer depends on (constants, version).
  Memory(Solve solve, std::string basis) : solve_(std::move(solve)), basis_(std::move(basis)) {}

  /// `foot_key` names the foot: answers of two feet must not share one.
  io::Result<Solved> ask(const std::string& foot_key, const FootPtr& foot, const shoe::ShoeParameters& shoe,
                         const std::string& position);

  int solved() const { return solved_; }  ///< asked of the solver itself
  int known() const { return known_; }    ///< remembered

  /// Takes the answers in `file`, if it is there, and adds each new one to it, a line at a time; a last line that was
  /// cut off is left out. Errors: cannot_write; bad_input where the file is something else.
  io::Result<void> keep_in(const std::string& file);

 private:
  Solve solve_;
  std::string basis_, file_;
  std::map<std::string, Solved> answers_;
  std::mutex mutex_;
  int solved_ = 0, known_ = 0;
};

}  // namespace aplomb::shop
