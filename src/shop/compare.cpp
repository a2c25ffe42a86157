// Fit the larger foot, pad the smaller, and say what the shelf lacks.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/compare.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/io/progress_part.h"
#include "figures.h"
#include "lacks.h"

namespace aplomb::shop {

namespace {

constexpr double even_mm = 1;  // less is caliper error [G]
// Of the work, where there is advice: pairs ranked, a split pair found.
constexpr double ranked_share = 0.6, split_share = 0.7;

io::Result<std::optional<SplitPair>> split_pair(const std::vector<Wearer>& wearers, const CompareInputs& inputs,
                                                Memory& memory, SearchOptions one) {
  one.top = 1;
  one.on_ranking = {};
  SplitPair split;
  for (std::size_t w = 0; w < 2; ++w) {
    const auto found = search({wearers[w]}, inputs.stock.items, inputs.rules, memory, one);
    if (!found) return tl::unexpected(found.error());
    const Standing& best = found->ranking.front();
    (w == 0 ? split.larger_item : split.smaller_item) = best.item;
    split.cost += best.cost;
    split.answers.push_back(best.answers.front());
  }
  if (split.larger_item == split.smaller_item) return std::optional<SplitPair>{};
  return std::optional<SplitPair>{std::move(split)};
}

}  // namespace

SizeDifference difference(const foot::Foot& left, const foot::Foot& right) {
  SizeDifference out;
  out.length_mm = right.length_mm - left.length_mm;
  out.breadth_mm = right.breadth_mm - left.breadth_mm;
  // Which of the two asks for the larger size: a step of length against a step of breadth.
  out.right_is_larger = out.length_mm / split_length_mm + out.breadth_mm / split_breadth_mm >= 0;
  if (!out.right_is_larger) out.length_mm = -out.length_mm, out.breadth_mm = -out.breadth_mm;
  out.even = std::abs(out.length_mm) < even_mm && std::abs(out.breadth_mm) < even_mm;
  out.split = std::abs(out.length_mm) > split_length_mm || std::abs(out.breadth_mm) > split_breadth_mm;
  const char* larger = out.right_is_larger ? "right" : "left";
  out.words = out.even ? "the feet are even"
                       : fmt::format("the {} foot is the larger: {} mm in length, {} mm in breadth", larger,
                                     figure(out.length_mm, 1, true), figure(out.breadth_mm, 1, true));
  return out;
}

shoe::Layers padded(const shoe::Layers& layers, const SizeDifference& difference) {
  shoe::Layers out = layers;
  if (difference.even) return out;
  const auto add = [&](shoe::PadRegion region, double mm) {
    if (mm < 0.5) return;
    shoe::SoftLayer& layer = out.padding[static_cast<std::size_t>(region)];
    if (layer.thickness_mm <= 0) layer.modulus_MPa = shoe::Layers::padding_modulus_MPa;
    layer.thickness_mm += mm;
  };
  add(shoe::PadRegion::toe_tips, std::clamp(difference.length_mm, 0.0, 4.0));
  add(shoe::PadRegion::ball, std::clamp(difference.breadth_mm / 2, 0.0, 1.5));
  return out;
}

io::Result<Comparison> compare(const CompareInputs& inputs, Memory& memory, const CompareOptions& options) {
  Comparison out;
  out.difference = difference(*inputs.left.foot, *inputs.right.foot);
  const Wearer& larger = out.difference.right_is_larger ? inputs.right : inputs.left;
  const Wearer& bare = out.difference.right_is_larger ? inputs.left : inputs.right;
  Wearer smaller = bare;
  smaller.layers = padded(bare.layers, out.difference);
  out.smaller_layers = smaller.layers;
  const std::vector<Wearer> wearers = {larger, smaller};

  const io::Progress& whole = options.search.progress;
  SearchOptions of_pairs = options.search;
  of_pairs.progress = io::part_of(whole, 0, ranked_share);
  auto pairs = search(wearers, inputs.stock.items, inputs.rules, memory, of_pairs);
  if (!pairs) return tl::unexpected(pairs.error());
  out.pairs = std::move(*pairs);
  if (out.pairs.ranking.empty())
    return io::fail({.file = inputs.stock.file,
                     .field = "pairs",
                     .message = "no row of the stock has a pair left",
                     .remedy = "correct the counts, or give another stock"});
  const Standing& best = out.pairs.ranking.front();
  for (const Standing& one : out.pairs.ranking)
    if (one.item != best.item && one.cost <= best.cost + options.search.tie + doubt(inputs.rules, wearers, best, one))
      (one.complete ? out.tied_with_best : out.may_tie).push_back(one.item);

  if (out.difference.split) {
    SearchOptions of_split = options.search;
    of_split.progress = io::part_of(whole, ranked_share, split_share);
    auto split = split_pair({larger, bare}, inputs, memory, of_split);
    if (!split) return tl::unexpected(split.error());
    out.split = std::move(*split);
  }
  if (!options.advice) return out;
  AdviseOptions advise_options;
  advise_options.most_offers = options.most_offers;
  advise_options.positions = options.search.positions;
  advise_options.threads = options.search.threads;
  const double each = (1 - split_share) / 3;
  for (const Wearer& wearer : wearers) {
    const double from = split_share + each * static_cast<double>(out.advice.size());
    advise_options.progress = io::part_of(whole, from, from + each);
    auto advice = advise(wearer, inputs.stock.items[static_cast<std::size_t>(best.item)].shoe, inputs.rules, memory,
                         advise_options);
    if (!advice) return tl::unexpected(advice.error());
    out.advice.push_back(std::move(*advice));
  }
  advise_options.progress = io::part_of(whole, 1 - each, 1);
  advise_options.progress(0, "what the shelf lacks");
  auto lacks = lacks_of(inputs, out.pairs, wearers, out.advice, memory, advise_options);
  if (!lacks) return tl::unexpected(lacks.error());
  out.lacks = std::move(*lacks);
  return out;
}

}  // namespace aplomb::shop
