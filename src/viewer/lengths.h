// Lengths in words, in millimetres or in inches.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace aplomb::viewer {

/// "3.1 mm" or "0.122 in".
std::string length_words(double mm, bool inches);

/// Value of a row: "3.1 mm" becomes "0.122 in" when asked, any other stays.
std::string in_units(const std::string& value, bool inches);

/// Every length in a sentence, with a thousandth of an inch for a tenth of a millimetre: "slack 14.8 becomes 10.8 mm;
/// limit 12 mm" -> "slack 0.583 becomes 0.425 in; limit 0.47 in". N/mm and mm² stay.
std::string with_inches(std::string_view words);

}  // namespace aplomb::viewer
