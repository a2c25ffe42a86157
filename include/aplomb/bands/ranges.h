// How far the constants that are guesses may lie from their values: plausible ranges, guesses themselves.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "aplomb/io/error.h"
#include "aplomb/shoe/parameters.h"
#include "aplomb/stance/constants.h"
#include "aplomb/stance/positions.h"

namespace aplomb::bands {

/// In which positions a guess can change anything.
enum class Where { everywhere, on_sole, ball, plie, one_foot, unweighted };

/// A guess is taken to lie anywhere in its range with the same chance; on a logarithmic scale where high >= 2 low > 0.
/// low = high: it is known.
struct GuessRange {
  std::string key;    ///< in meshes/constants.toml
  std::string words;  ///< "stiffness of the toe and ball tissue"
  /// The range is of the number itself, or times the number that constants or shoe file give.
  enum class Of { constant, constant_factor, shoe_factor } of = Of::constant;
  double low = 0, high = 0;
  Where where = Where::everywhere;
};

/// Every guess that is varied, with its range. meshes/constants.toml holds the same ranges, to be edited.
const std::vector<GuessRange>& usual_ranges();

/// The ranges with those that the table [plausible] of the constants' file sets; the usual ones where it has none.
/// Errors (bad_input): an unknown key, not two numbers, NaN, a range reversed or outside what the constant can be.
io::Result<std::vector<GuessRange>> read_ranges(const std::filesystem::path& file);

/// Whether constants lie in their ranges, and the ranges are ranges. The Error's field is the key.
io::Result<void> check(const std::vector<GuessRange>& ranges, const stance::Constants& constants);

bool applies(Where where, stance::Position position);

/// `constants` with the guess at `value` (a factor where the range is of one). Pre: not of the shoe.
void set(stance::Constants& constants, const GuessRange& range, double value);
/// The same for a number of the shoe. Pre: of the shoe.
void set(shoe::ShoeParameters& shoe, const GuessRange& range, double factor);

}  // namespace aplomb::bands
