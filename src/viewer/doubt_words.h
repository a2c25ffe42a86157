// A number's 5 to 95 % band as the findings show it, and what is said of it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>

#include "aplomb/findings/findings.h"

namespace aplomb::viewer {

struct BandText {
  std::string low, high, unit;  ///< as shown
  bool quantiles = false;       ///< plain ones of the runs; else by an expansion
};

/// `doubt` is a report row's for a number shown as `value`: in the value's unit, " mm" as " in" when asked. Nothing
/// where it is empty or not known.
std::optional<BandText> band_text(const std::string& value, const std::string& doubt, bool inches);

/// "[+1.2 .. +5.0] mm"; "~" before quantiles.
std::string in_brackets(const BandText& band);

/// How a band was found, what it comes from and what would narrow it: of the number with this key in the JSON.
std::string band_meaning(const findings::Doubts& doubts, const std::string& key);

}  // namespace aplomb::viewer
