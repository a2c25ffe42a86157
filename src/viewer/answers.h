// Answers that are kept, by the keys of their requests.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <memory>
#include <set>
#include <string>
#include <unordered_map>
#include <vector>

#include "solve_job.h"

namespace aplomb::viewer {

class Answers {
 public:
  using Answer = std::shared_ptr<const Solved>;

  /// In the place of one with the same key.
  void add(Answer answer);
  Answer find(const std::string& key) const;  ///< null where there is none
  /// Forgets the oldest beyond `full_kept` and `quick_kept`, each counted by itself; never one of a choice (its key) in
  /// `held`, unless it is quick.
  void trim(const std::set<std::string>& held);

  static constexpr std::size_t full_kept = 48;  ///< seven positions of a few changes back and forth, megabytes each
  static constexpr std::size_t quick_kept = 8;  ///< of the drag that goes on

 private:
  std::unordered_map<std::string, Answer> by_key_;
  std::vector<std::string> full_, quick_;  ///< keys, oldest first
};

}  // namespace aplomb::viewer
