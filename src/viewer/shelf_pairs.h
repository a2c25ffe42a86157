// The feet and the pairs of a shelf beside what stands on the seats: whose answer it is, and which pair is on.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <memory>
#include <string>
#include <vector>

#include "document.h"
#include "shelf_job.h"

namespace aplomb::viewer {

/// Said of an answer whose feet are not those that are shown.
inline constexpr const char* other_feet = "Of the feet as they were; compare the stock again.";

/// Feet on the seats, one where both seats hold the same; with the constants of the first. No sides.
ShelfFeet feet_on(const Subject& subject);
/// Whether feet and constants on the seats are those that were compared.
bool same_feet(const ShelfFeet& compared, const Subject& subject);

/// A pair as it was put on the seats, with the answer that it is of.
struct PairOn {
  std::weak_ptr<const ShelfAnswer> of;
  KeptPair kept;
  std::array<shoe::Layers, 2> laid;  ///< all that is in it: hers, the design's own, what pads the smaller foot
  std::array<shoe::Layers, 2> hers;  ///< what she wears whatever the shoe, as it was compared
};

/// The design of a shoe with these layers and nothing else changed, as KeptPair holds what is hers.
Source only_layers(const shoe::ShoeParameters& design, const Source& shoe, const shoe::Layers& layers);

/// As a session kept it, of no answer yet. Errors: as reading a shoe.
io::Result<PairOn> pair_of(const KeptPair& kept);

/// The pair that a session is to keep: the newest that is on, else the newest whose design is.
const KeptPair* pair_to_keep(const std::vector<PairOn>& pairs, const Subject& subject);

/// An item as each seat's foot wears it. Pre: same_feet(). Errors: as reading the design; numbers that no shoe has.
io::Result<PairOn> pair_for(const std::shared_ptr<const ShelfAnswer>& answer, int item, const Subject& subject);

/// The newest pair whose shoes are on all seats, number for number; null where none is.
const PairOn* pair_on(const std::vector<PairOn>& pairs, const Subject& subject);

/// What she wears whatever the shoe: of a shoe off the shelf with the layers it was put on with, those that it was
/// compared with; else all that is shown in it.
shoe::Layers layers_of_hers(const std::vector<PairOn>& pairs, const Source& shoe, const shoe::Layers& shown);

/// Labels of the pairs that come first, at most three.
std::vector<std::string> first_of(const ShelfAnswer& answer);

/// Name of a page's file before "-client.pdf": foot and label of the best pair, in no other folder.
std::string page_name(const ShelfAnswer& answer);

}  // namespace aplomb::viewer
