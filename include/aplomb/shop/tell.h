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

/// Cautions of a visit, or of none; age as the feet's cards give it where the visit does not.
std::vector<std::string> cautions_of(const Telling& telling);

/// "tapered, 240/90, shank 2.0 mm".
std::string item_words(const StockItem& item);

/// "heel slack 14.8 mm, more than 12 mm (on the box, without weight)".
std::string evidence(const Raised& raised);
/// "change - the heel bags: heel slack 14.8 mm, ...": grade, cause, evidence.
std::string told(const Raised& raised);
/// Positions in which the foot does not go in or no balance was found: "unsuitable - does not go in (...)".
std::vector<std::string> failures(const Answers& answers);
/// Why a shoe stands where it does: what it raises on that foot, dearest first, and where it does not go in.
std::vector<std::string> reasons(const Rules& rules, const Answers& answers);

/// "heel slack 14.8 becomes 10.8 mm; limit 12 mm (on the box, without weight)".
std::string before_and_after(const Offer& offer);
/// "change - the heel bags".
std::string because(const Offer& offer);

/// It raises a rule of that grade on one of the feet, or does not go in.
bool unsuitable(const Rules& rules, const Standing& one);
/// Which pair comes first, after the words `first`; where even that is unsuitable, that nothing suits and which is the
/// nearest.
std::string headline(const Telling& telling, const char* first = "Bring out first");
/// The pairs that tie with the best, those that may, and both shoes of the split pair, by name; empty without.
std::vector<std::string> ties_and_split(const Telling& telling);

/// Peak pressure of the best pair, kPa, shown and never graded; "" where it does not apply.
struct PeakRow {
  std::string position, left_kPa, right_kPa;
};
std::vector<PeakRow> peaks_of(const Telling& telling);

/// What the visit says of her and which readiness questions nobody asked; that there was none.
std::vector<std::string> visit_lines(const Telling& telling);

/// "padding 2.0 mm under the toe tips", one line a layer; empty without any.
std::vector<std::string> layer_words(const shoe::Layers& layers);

/// "2", "2 (tie)" where it ties with the best; of one not complete "-", or "may tie".
std::string place_words(const Comparison& comparison, std::size_t index);

}  // namespace aplomb::shop
