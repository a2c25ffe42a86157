// A number's unit, from its name.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "words.h"

#include <array>
#include <utility>

namespace aplomb::viewer {

std::string unit_of(std::string_view key) {
  constexpr std::array<std::pair<std::string_view, const char*>, 12> units{{{"_N_per_mm3", "N/mm³"},
                                                                            {"_N_per_mm", "N/mm"},
                                                                            {"_MPa", "MPa"},
                                                                            {"_mm", "mm"},
                                                                            {"_deg", "deg"},
                                                                            {"_GPa", "GPa"},
                                                                            {"_Nm2", "N m²"},
                                                                            {"_Nm", "N m"},
                                                                            {"_N", "N"},
                                                                            {"_hours", "h"},
                                                                            {"_kg", "kg"},
                                                                            {"_years", "years"}}};
  for (const auto& [ending, unit] : units)
    if (key.ends_with(ending)) return unit;
  return {};
}

}  // namespace aplomb::viewer
