// The numbers of a foot in plain words with units: one list of display rows that table and sheet share.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/foot/card.h"
#include "aplomb/foot/foot.h"
#include "aplomb/foot/prior.h"

namespace aplomb::report {

/// One number as a person reads it. C locale.
struct FootRow {
  int number = 0;            ///< foot::Number
  std::string key;           ///< as on the card, e.g. "toes.hallux.length_mm"
  std::string name;          ///< e.g. "Foot length"
  std::string value;         ///< without unit, one decimal
  std::string unit;          ///< "mm", "deg", "kg", "years"
  std::string band;          ///< half of the band from 5 to 95 %, in the unit; empty where the number is exact
  std::string source;        ///< "card", "prior", ...
  std::string against_card;  ///< fitted minus card, signed; empty where the fit does not move it
  std::string remark;        ///< what is surprising about it; mostly empty

  bool measured() const { return source != "prior"; }
  std::string with_band() const;  ///< "238.0 ± 1.2 mm"
};

struct FootSection {
  std::string title;
  std::vector<FootRow> rows;
};

/// Half of the band that holds 90 of 100: the 95 % point of the normal distribution (any table of it).
inline constexpr double half_band_sds = 1.6449;
/// From this many SD on a number is called unusual [guess; 5 of 100 are].
inline constexpr double unusual_sds = 2;

/// What a number is called: "Foot length", "Hallux, length".
std::string number_name(int number);
/// Its unit, from the end of its key.
std::string number_unit(int number);

/// Every number that is known, in the order in which they are taken. `surprises`: of the numbers on the card.
std::vector<FootSection> foot_sections(const foot::Foot& foot, const std::vector<foot::Surprise>& surprises);

/// "RIGHT foot".
std::string foot_heading(const foot::Foot& foot);
/// "11 numbers from the card, 30 from the prior".
std::string sources_counted(const std::vector<FootSection>& sections);

/// What the prior is and that it is not of dancers; what else to know of a foot this long, measured under this load.
std::vector<std::string> foot_notes(const foot::Foot& foot, const foot::Prior& prior, foot::Load load);

/// The numbers as text for a terminal: UTF-8, lines of at most 110 columns, ends with a newline.
std::string foot_table(const std::string& heading, const std::vector<FootSection>& sections,
                       const std::vector<std::string>& notes);

}  // namespace aplomb::report
