// A comparison told: as JSON and as text for a terminal.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/io/json.h"
#include "aplomb/shop/compare.h"
#include "aplomb/shop/visit.h"

namespace aplomb::shop {

/// Advice on the shoe she dances in now, per foot: left, right.
struct Present {
  std::string shoe;
  std::vector<Advice> advice;
};

struct Telling {
  const CompareInputs* inputs = nullptr;
  const Comparison* comparison = nullptr;
  const Visit* visit = nullptr;       ///< may be null
  const Present* present = nullptr;   ///< may be null
  std::string left_name, right_name;  ///< as the user named them
  std::string version, date;
  int top = 3;
  double first_ranking_ms = 0, total_ms = 0;
};

/// Format "aplomb-comparison"; see meshes/schema/comparison.schema.json.
io::Json comparison_json(const Telling& telling);

/// UTF-8, lines of at most 110 columns, ends with a newline.
std::string comparison_text(const Telling& telling);

/// Cautions of a visit, or of none.
std::vector<std::string> cautions_of(const Telling& telling);

/// "tapered, 240/90, shank 2.0 mm".
std::string item_words(const StockItem& item);

/// "heel slack 14.8 becomes 10.8 mm; limit 12 (on the box, without weight)".
std::string before_and_after(const Offer& offer);

/// "padding 2.0 mm under the toe tips", one line a layer; empty without any.
std::vector<std::string> layer_words(const shoe::Layers& layers);

/// "2", "2 (tie)" where it ties with the best; of one not complete "-", or "may tie".
std::string place_words(const Comparison& comparison, std::size_t index);

}  // namespace aplomb::shop
