// Numbers and counts as words (internal).
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <fmt/format.h>

#include <string>

#include "aplomb/shop/advise.h"

namespace aplomb::shop {

/// With so many decimals; what rounds to nothing has no minus.
inline std::string figure(double value, int decimals, bool signed_always = false) {
  std::string text = signed_always ? fmt::format("{:+.{}f}", value, decimals) : fmt::format("{:.{}f}", value, decimals);
  if (text.front() == '-' && text.find_first_of("123456789") == std::string::npos)
    signed_always ? text.replace(0, 1, "+") : text.erase(0, 1);
  return text;
}

/// A finding's name and its unit with a space before it; shares have none.
struct ValueWords {
  std::string name, unit;
  int decimals = 1;
};
ValueWords value_words(const std::string& finding, const std::string& position);

/// "14.8 becomes 10.8 mm; limit 12 mm".
std::string becomes(const Offer& offer);

/// "1 shoe", "2 shoes".
template <class Count>
std::string counted(Count count, const char* thing) {
  return fmt::format("{} {}{}", count, thing, count == 1 ? "" : "s");
}

}  // namespace aplomb::shop
