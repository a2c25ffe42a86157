// A card to fill in, with how to take each number.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace aplomb::foot {

/// TOML with every key of a card: what is needed stands with an example value, the rest is commented out. Drawings in
/// text characters, words and cautions in comments; ASCII, lines of at most 110 columns. Reads back as a card.
std::string new_card_text();

}  // namespace aplomb::foot
