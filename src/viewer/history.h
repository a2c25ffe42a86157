// Undo and redo: whole subjects, kept before each change.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "document.h"

namespace aplomb::viewer {

class History {
 public:
  /// Call with the subject as it stands at the end of each change; the same again is no change.
  void note(const Subject& subject);
  bool can_undo() const { return at_ > 0; }
  bool can_redo() const { return at_ + 1 < past_.size(); }
  const Subject& undo() { return past_[--at_]; }  ///< Pre: can_undo()
  const Subject& redo() { return past_[++at_]; }  ///< Pre: can_redo()
  /// What the first seat last held before it was as `now`; nothing when it never held another.
  std::optional<Choice> before(const Choice& now) const;
  void clear() { past_.clear(), at_ = 0; }

 private:
  std::vector<Subject> past_;
  std::size_t at_ = 0;
};

}  // namespace aplomb::viewer
