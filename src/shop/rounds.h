// What a search solves next: which shoes, on which foot, in which position.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/shop/search.h"

namespace aplomb::shop {

/// One foot in one position; the same list for every shoe, cheap ones first.
struct Stage {
  std::string position;
  std::size_t wearer = 0;
  double seconds = 1;  ///< of a solve, roughly
};
std::vector<Stage> stages_of(const std::vector<std::string>& positions, std::size_t wearers);

/// A shoe with what solving it has told.
struct Node {
  const StockItem* item = nullptr;
  Standing standing;
  std::vector<std::optional<double>> gains;  ///< points by stage; nothing where it is not solved
};

struct Job {
  Node* node = nullptr;
  std::size_t stage = 0;
};

/// The next jobs, longest first; empty when nothing that is left can cost as little as `limit`. They follow from what
/// is known and not from the number of threads.
std::vector<Job> next_round(std::vector<Node>& nodes, const std::vector<Stage>& stages, double limit);

/// The first round: the cheapest position on every foot of the few that lead by measure.
std::vector<Job> first_round(std::vector<Node>& nodes, const std::vector<Stage>& stages);

/// Order of a ranking: complete ones by cost, then by bound; equal ones in shelf order.
bool ranks_before(const Standing& a, const Standing& b);

}  // namespace aplomb::shop
