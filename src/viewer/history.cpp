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

std::optional<Choice> History::before(const Choice& now) const {
  for (std::size_t i = past_.empty() ? 0 : at_ + 1; i > 0; --i)
    if (past_[i - 1].seat[0] != now) return past_[i - 1].seat[0];
  return std::nullopt;
}

}  // namespace aplomb::viewer
