// Compared as sources, not by keys: that is exact, and costs nothing in a frame.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shelf_pairs.h"

#include <fmt/format.h>

#include <algorithm>

#include "aplomb/io/files.h"
#include "changes.h"
#include "solve_job.h"

namespace aplomb::viewer {

namespace {

bool same_layers(const shoe::Layers& a, const shoe::Layers& b) {
  shoe::ShoeParameters one, other;
  one.layers = a, other.layers = b;
  return changes_between(one, other).first.empty();
}

/// Wherever its file lies now.
bool same_shoe(const Source& a, const Source& b) {
  return a.text == b.text && a.changes == b.changes && a.words == b.words;
}

}  // namespace

ShelfFeet feet_on(const Subject& subject) {
  ShelfFeet feet{{subject.seat[0].foot}, {}, subject.seat[0].constants};
  if (subject.side_by_side && subject.seat[1].foot != subject.seat[0].foot)
    feet.sources.push_back(subject.seat[1].foot);
  return feet;
}

bool same_feet(const ShelfFeet& compared, const Subject& subject) {
  const ShelfFeet now = feet_on(subject);
  return now.sources == compared.sources && now.constants == compared.constants;
}

io::Result<PairOn> pair_for(const std::shared_ptr<const ShelfAnswer>& answer, int item, const Subject& subject) {
  const shop::StockItem& row = answer->inputs.stock.items[static_cast<std::size_t>(item)];
  const auto text = io::read_file(row.file, {}, io::max_json_bytes);
  if (!text) return tl::unexpected(text.error());
  const auto design = shoe::parse_shoe(*text, row.file);
  if (!design) return tl::unexpected(design.error());
  PairOn pair;
  pair.of = answer;
  pair.kept.item = item, pair.kept.stock_hash = answer->inputs.stock.hash;
  const ShelfFeet& feet = answer->feet;
  for (std::size_t seat = 0; seat < 2; ++seat) {
    const auto found = std::find(feet.sources.begin(), feet.sources.end(), subject.seat[seat].foot);
    const auto which = found == feet.sources.end() ? 0 : static_cast<std::size_t>(found - feet.sources.begin());
    const bool right = feet.sides[which] == foot::Side::right;
    shop::Wearer wearer = right ? answer->inputs.right : answer->inputs.left;
    pair.hers[seat] = wearer.layers;
    pair.kept.hers[seat] = only_layers(*design, {row.file, *text}, wearer.layers);
    if (!answer->mirrored && right != answer->comparison.difference.right_is_larger)
      wearer.layers = answer->comparison.smaller_layers;
    Source& source = pair.kept.shoe[seat];
    source = {row.file, *text};
    std::tie(source.changes, source.words) = changes_between(*design, shop::worn(row.shoe, wearer));
    const auto parameters = parameters_of(source);
    if (!parameters) return tl::unexpected(parameters.error());
    pair.laid[seat] = parameters->layers;
  }
  return pair;
}

Source only_layers(const shoe::ShoeParameters& design, const Source& shoe, const shoe::Layers& layers) {
  shoe::ShoeParameters hers = design;
  hers.layers = layers;
  return {shoe.file, shoe.text, changes_between(design, hers).first};
}

io::Result<PairOn> pair_of(const KeptPair& kept) {
  PairOn pair;
  pair.kept = kept;
  for (std::size_t seat = 0; seat < 2; ++seat) {
    const auto laid = parameters_of(kept.shoe[seat]);
    if (!laid) return tl::unexpected(laid.error());
    pair.laid[seat] = laid->layers;
    // Only its layers count, so it need not be a shoe that could be made.
    auto hers = shoe::parse_shoe(kept.hers[seat].text, kept.hers[seat].file);
    if (!hers) return tl::unexpected(hers.error());
    if (const auto done = apply(kept.hers[seat].changes, {}, *hers); !done) return tl::unexpected(done.error());
    pair.hers[seat] = hers->layers;
  }
  return pair;
}

const PairOn* pair_on(const std::vector<PairOn>& pairs, const Subject& subject) {
  const auto on = [&](const PairOn& pair) {
    for (std::size_t seat = 0; seat < static_cast<std::size_t>(subject.seats()); ++seat)
      if (!same_shoe(subject.seat[seat].shoe, pair.kept.shoe[seat])) return false;
    return true;
  };
  const auto found = std::find_if(pairs.rbegin(), pairs.rend(), on);
  return found == pairs.rend() ? nullptr : &*found;
}

const KeptPair* pair_to_keep(const std::vector<PairOn>& pairs, const Subject& subject) {
  if (const PairOn* on = pair_on(pairs, subject)) return &on->kept;
  for (auto pair = pairs.rbegin(); pair != pairs.rend(); ++pair)
    for (std::size_t seat = 0; seat < static_cast<std::size_t>(subject.seats()); ++seat)
      for (const Source& shoe : pair->kept.shoe)
        if (shoe.text == subject.seat[seat].shoe.text) return &pair->kept;
  return nullptr;
}

shoe::Layers layers_of_hers(const std::vector<PairOn>& pairs, const Source& shoe, const shoe::Layers& shown) {
  for (auto pair = pairs.rbegin(); pair != pairs.rend(); ++pair)
    for (std::size_t seat = 0; seat < 2; ++seat)
      if (pair->kept.shoe[seat].text == shoe.text && same_layers(pair->laid[seat], shown)) return pair->hers[seat];
  return shown;
}

std::vector<std::string> first_of(const ShelfAnswer& answer) {
  std::vector<std::string> labels;
  const auto& ranking = answer.comparison.pairs.ranking;
  for (std::size_t i = 0; i < std::min<std::size_t>(3, ranking.size()); ++i)
    labels.push_back(answer.inputs.stock.items[static_cast<std::size_t>(ranking[i].item)].label);
  return labels;
}

std::string page_name(const ShelfAnswer& answer) {
  const auto best = static_cast<std::size_t>(answer.comparison.pairs.ranking.front().item);
  std::string name = fmt::format("{}-{}", answer.feet.sources.front().name(), answer.inputs.stock.items[best].label);
  std::replace(name.begin(), name.end(), '/', '-');
  return name;
}

}  // namespace aplomb::viewer
