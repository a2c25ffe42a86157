// A drag makes a quick answer for every place of the hand: beside full ones they would drive out what is looked at.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "answers.h"

#include <algorithm>

namespace aplomb::viewer {

void Answers::add(Answer answer) {
  if (!by_key_.contains(answer->key)) (answer->care == Care::quick ? quick_ : full_).push_back(answer->key);
  const std::string key = answer->key;
  by_key_[key] = std::move(answer);
}

Answers::Answer Answers::find(const std::string& key) const {
  const auto found = by_key_.find(key);
  return found == by_key_.end() ? nullptr : found->second;
}

void Answers::trim(const std::set<std::string>& held) {
  const auto forget_oldest = [&](std::vector<std::string>& keys, std::size_t kept, const auto& stays) {
    for (auto key = keys.begin(); keys.size() > kept && key != keys.end();) {
      if (stays(*by_key_.at(*key))) {
        ++key;
      } else {
        by_key_.erase(*key);
        key = keys.erase(key);
      }
    }
  };
  forget_oldest(quick_, quick_kept, [](const Solved&) { return false; });
  forget_oldest(full_, full_kept, [&](const Solved& answer) { return held.contains(answer.choice); });
}

}  // namespace aplomb::viewer
