// What she wears whatever the shoe, laid into one.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "changes.h"
#include "solve_job.h"
#include "visits.h"

namespace aplomb::viewer {

namespace {

bool is_layer(const std::string& key) {
  return key.starts_with("tights.") || key.starts_with("padding.") || key.starts_with("spacer.") ||
         key.starts_with("tape.");
}

}  // namespace

io::Result<PairOn> with_layers(const Source& shoe, const shoe::Layers& layers, std::array<foot::Side, 2> sides) {
  Source bare = shoe;
  std::erase_if(bare.changes, [](const auto& change) { return is_layer(change.first); });
  const auto given = shoe::parse_shoe(shoe.text, shoe.file);
  if (!given) return tl::unexpected(given.error());
  const auto before = parameters_of(bare);
  if (!before) return tl::unexpected(before.error());
  PairOn pair;
  for (std::size_t seat = 0; seat < 2; ++seat) {
    auto foot = std::make_shared<foot::Foot>();
    foot->side = sides[seat];
    Source& laid = pair.kept.shoe[seat];
    laid = {shoe.file, shoe.text};
    std::tie(laid.changes, laid.words) = changes_between(*given, shop::worn(*before, {std::move(foot), "", layers}));
    const auto parameters = parameters_of(laid);
    if (!parameters) return tl::unexpected(parameters.error());
    pair.laid[seat] = parameters->layers;
    pair.hers[seat] = layers;
    pair.kept.hers[seat] = only_layers(*given, laid, layers);
  }
  return pair;
}

}  // namespace aplomb::viewer
