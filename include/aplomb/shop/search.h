// Which shoes of a shelf suit, without solving all of them.
//
// The cost of a shoe is a sum of points that are never negative, so what has been solved of it so far bounds its cost
// from below: first by measure, then position by position. The shoe with the lowest bound is always looked at next, in
// the position that is likely to tell most for the time it takes. A shoe whose bound lies above the cost of those found
// already cannot rank before them and is never solved any further: the best are exactly those of solving everything.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "aplomb/io/progress.h"
#include "aplomb/shop/rules.h"
#include "aplomb/shop/solver.h"
#include "aplomb/shop/stock.h"

namespace aplomb::shop {

/// A foot with what is worn on it.
struct Wearer {
  FootPtr foot;
  std::string key;  ///< hash of its file: names it in Memory
  shoe::Layers layers;
};

/// The shoe as this foot wears it: layers of the wearer in place of the shoe's own where she has any; one of a pair
/// that is cut for left and right is the one for this foot.
shoe::ShoeParameters worn(const shoe::ShoeParameters& shoe, const Wearer& wearer);

/// One item of the shelf, as far as it was looked at.
struct Standing {
  int item = 0;
  double cost = 0;  ///< of all positions when complete, else a lower bound
  bool complete = false;
  bool solved = false;           ///< at least one position was solved
  std::string left_at;           ///< last position solved, by_measure where none was; empty when complete
  std::vector<Answers> answers;  ///< per wearer
};

/// The ranking while the search goes on: provisional, since shoes further down may still come up.
struct RankingSoFar {
  enum class Step {
    measured,  ///< nothing solved yet
    first,     ///< by measure, and by the cheapest position for the few that lead by measure
    later
  };
  Step step = Step::measured;
  std::vector<Standing> ranking;
  int solves = 0;
};

struct SearchOptions {
  int top = 1;                         ///< so many come out complete and in order
  double tie = 0.25;                   ///< points within which two shoes are said to tie, beside doubt() [G]
  bool exhaustive = false;             ///< solve everything
  int threads = 0;                     ///< results do not depend on it
  std::vector<std::string> positions;  ///< to rank by; empty: those of the rules
  io::Progress progress;
  /// Called by measure alone, then once as first, then after every round.
  std::function<void(const RankingSoFar&)> on_ranking;
};

struct Search {
  std::vector<Standing> ranking;  ///< complete ones by cost, then the others by bound; equal ones in shelf order
  std::vector<int> first;         ///< items that led the first ranking, best first
  int never_solved = 0;           ///< rejected by measure alone
  int not_complete = 0;           ///< rejected at all, those included
  int solves = 0;
};

/// Every item that has pairs, on all wearers together: their costs are added. Errors: cancelled; a shoe that cannot be
/// made once worn (it is named).
io::Result<Search> search(const std::vector<Wearer>& wearers, const std::vector<StockItem>& items, const Rules& rules,
                          Memory& memory, const SearchOptions& options);

/// By how many points what is not known of the feet can turn `a` and `b` against one another: length and breadth of
/// either foot moved by their SD in what is measured without a solve, solved findings by as much as they move when a
/// card is off by what calipers are off; in squares, as errors that have nothing to do with one another.
double doubt(const Rules& rules, const std::vector<Wearer>& wearers, const Standing& a, const Standing& b);

/// Positions in the order in which a search solves them: what costs least first.
std::vector<std::string> cheap_first(const std::vector<std::string>& positions);

}  // namespace aplomb::shop
