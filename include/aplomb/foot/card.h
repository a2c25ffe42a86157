// The card: what a fitter wrote down about one foot with calipers and tape.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "aplomb/foot/foot.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/io/error.h"

namespace aplomb::foot {

inline constexpr int card_format_version = 1;

/// What the foot carried while it was measured: none (sitting, foot hanging), standing on both feet, full (on this
/// foot).
enum class Load { none, standing, full };
extern const char* const load_names[3];

/// A card as written, mm, degrees, kg, years. Numbers of a left foot are the same numbers: the shape is mirrored, not
/// they.
struct Card {
  Side side = Side::right;
  Load load = Load::standing;
  Numbers numbers;                       ///< foot length and breadth always known
  std::string file;                      ///< for messages; empty when not read from a file
  std::array<int, number_count> line{};  ///< line of each number in `file`; 0 when unknown
};

/// Reads a card (TOML, keys of number_table() plus format, format_version, side, load).
/// Errors (bad_input): see io::TomlReader; a number outside its range; numbers that cannot belong to one foot (see
/// contradiction_in()).
io::Result<Card> read_card(const std::filesystem::path& file);
io::Result<Card> parse_card(std::string_view text, const std::string& file_name);

/// Two numbers that no foot can have together.
struct Contradiction {
  int number = 0;  ///< Number to be checked first
  std::string message, remedy;
};
/// The first contradiction between known numbers, by plain geometry: a part longer than the whole, a tape shorter than
/// twice the breadth it goes round, squeezed broader than relaxed.
std::optional<Contradiction> contradiction_in(const Numbers& numbers);

/// The same, and what contradicts the load that the card names.
std::optional<Contradiction> contradiction_in(const Card& card);

/// An Error about one number of the card, with its file, line and key.
io::Error card_error(const Card& card, int number, std::string message, std::string remedy,
                     io::ErrorKind kind = io::ErrorKind::bad_input);

/// The card as TOML text; reads back to the same numbers.
std::string card_text(const Card& card);

}  // namespace aplomb::foot
