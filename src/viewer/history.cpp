// Kept whole: a subject is a few kilobytes of text.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "history.h"

namespace aplomb::viewer {

namespace {

constexpr std::size_t most_kept = 500;

}  // namespace

void History::note(const Subject& subject) {
  if (!past_.empty() && past_[at_] == subject) return;
  past_.resize(past_.empty() ? 0 : at_ + 1);
  past_.push_back(subject);
  if (past_.size() > most_kept) past_.erase(past_.begin());
  at_ = past_.size() - 1;
}

std::optional<Subject> History::before() const {
  if (at_ == 0 || past_.empty()) return std::nullopt;
  return past_[at_ - 1];
}

}  // namespace aplomb::viewer
