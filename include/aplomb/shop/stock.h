// What stands on the shelf.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "aplomb/io/error.h"
#include "aplomb/shoe/parameters.h"

namespace aplomb::shop {

/// One row: so many pairs of one design in one size with one shank.
struct StockItem {
  std::string label;   ///< the shop's own; unique
  std::string design;  ///< names a shoe file
  std::string file;    ///< that shoe file, as found
  int length_mm = 0;   ///< Mondopoint (ISO 9407): of the foot that it is to fit, in steps of 5 mm
  int breadth_mm = 0;
  double shank_mm = 0;  ///< thickness of the full stack; 0: the design's own
  int pairs = 0;
  int line = 0;
  shoe::ShoeParameters shoe;  ///< the design graded to the size, with that shank
};

struct Stock {
  std::string shop;  ///< free text
  std::vector<StockItem> items;
  std::string file, hash;
};

/// The foot that a design fits as it is written, where the stock does not say [G].
inline constexpr double usual_fits_length_mm = 240, usual_fits_breadth_mm = 90;
/// More rows than any shop has: a file of another kind, or one to be split.
inline constexpr int most_items = 5000;

/// TOML (format "aplomb-stock"): `shop`; [[design]] with name, file (beside the stock file), fits_length_mm,
/// fits_breadth_mm; [[item]] with label, design, length_mm, breadth_mm, shank (may be left out), pairs. Or CSV with
/// the head "label,design,length_mm,breadth_mm,shank,pairs" (shank may be empty). Both take shank_mm for shank. Which
/// of the two it is tells the ending, .toml or .csv, in letters of any case. A design that the file does not declare is
/// looked for as DESIGN.toml beside the stock file, then in `designs_folder`. Errors (bad_input) with file and line: a
/// label twice, a text that is not plain (UTF-8, no control characters, at most 80 characters), a design that is not
/// found or cannot be read, a length that is no step of 5 mm, a breadth that no foot of that length has, a size that
/// the design cannot be made in, fewer than 0 pairs, more than most_items rows, no rows. Without a line: another
/// ending.
io::Result<Stock> read_stock(const std::filesystem::path& file, const std::filesystem::path& designs_folder);

}  // namespace aplomb::shop
