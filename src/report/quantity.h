// Numbers as text: how many decimals, which unit, whether the sign is always shown.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <fmt/format.h>

#include <cmath>
#include <string>

namespace aplomb::report {

struct Quantity {
  int decimals = 1;
  const char* unit = "";
  bool is_signed = false;  ///< "+" in front of positive values: the sign means a direction
  double factor = 1;       ///< from the unit of the findings to the one shown
};

inline constexpr Quantity mm{1, "mm"};
inline constexpr Quantity mm_signed{1, "mm", true};
inline constexpr Quantity deg{1, "deg"};
inline constexpr Quantity deg_signed{1, "deg", true};
inline constexpr Quantity kPa{0, "kPa"};
inline constexpr Quantity cm2_of_mm2{1, "cm\u00b2", false, 0.01};
inline constexpr Quantity percent{1, "%"};
inline constexpr Quantity percent_of_one{1, "%", false, 100};
inline constexpr Quantity Nm_signed{1, "N m", true};
inline constexpr Quantity newton{0, "N"};
inline constexpr Quantity kg{0, "kg"};
inline constexpr Quantity coefficient{2, ""};

/// "+3.1 mm"; zero carries no sign. C locale whatever the program's locale is.
inline std::string text(double value, const Quantity& quantity) {
  const double scale = std::pow(10.0, quantity.decimals);
  double rounded = std::round(value * quantity.factor * scale) / scale;
  if (rounded == 0) rounded = 0;  // no "-0.0"
  const char* const sign = quantity.is_signed && rounded > 0 ? "+" : "";
  return fmt::format("{}{:.{}f}{}{}", sign, rounded, quantity.decimals, *quantity.unit ? " " : "", quantity.unit);
}

}  // namespace aplomb::report
