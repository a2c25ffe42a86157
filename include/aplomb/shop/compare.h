// Both feet against the whole shelf: which pair to bring out first, why, and what to alter.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aplomb/shop/advise.h"
#include "aplomb/shop/search.h"

namespace aplomb::shop {

struct CompareInputs {
  Wearer left, right;
  std::string basis;  ///< hash of everything else that answers depend on
  Stock stock;
  Rules rules;
};

struct CompareOptions {
  SearchOptions search;
  bool advice = true;  ///< solve changes for the winner
  int most_offers = 3;
};

/// From these differences on a split pair is named [task of the trade: common practice, no source].
inline constexpr double split_length_mm = 5, split_breadth_mm = 3;

struct SizeDifference {
  double length_mm = 0, breadth_mm = 0;  ///< larger foot less smaller one, standing
  bool right_is_larger = true;
  bool even = true;  ///< too small to be worth a pad
  bool split = false;
  std::string words;
};
SizeDifference difference(const foot::Foot& left, const foot::Foot& right);

/// Layers with what pads the smaller foot out added: under the toe tips for length (4 mm at most), round the ball for
/// breadth (1.5 mm at most) [G].
shoe::Layers padded(const shoe::Layers& layers, const SizeDifference& difference);

struct SplitPair {
  int larger_item = 0, smaller_item = 0;
  double cost = 0;               ///< of both together
  std::vector<Answers> answers;  ///< larger, smaller
};

/// What the best pair raises, and every other shoe that was solved as far as that: most are not, see search().
struct Lack {
  std::string words;  ///< "right foot: ...; none of the 3 shoes solved as far as this avoids it; against T-240, ..."
  std::string rule;
  std::optional<Offer> offer;  ///< the least change of the best pair that would, solved; see least_amount()
  bool turns = false;          ///< it is enough; else it only helps
  bool right = true;
};

struct Comparison {
  SizeDifference difference;
  Search pairs;                     ///< wearers: larger foot, then the smaller one with its padding
  std::vector<int> tied_with_best;  ///< complete items within SearchOptions::tie and doubt() of the best
  std::vector<int> may_tie;         ///< the same of the bound of items that are not complete
  std::optional<SplitPair> split;
  std::vector<Advice> advice;  ///< for the best pair: larger, smaller
  std::vector<Lack> lacks;
  shoe::Layers smaller_layers;  ///< what the smaller foot wears
};

/// Errors: see search(); nothing on the shelf has pairs.
io::Result<Comparison> compare(const CompareInputs& inputs, Memory& memory, const CompareOptions& options);

}  // namespace aplomb::shop
