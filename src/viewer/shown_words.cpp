// Numbers and errors as words for people.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "widgets.h"

#include <fmt/format.h>

#include <cmath>

#include "lengths.h"

namespace aplomb::viewer {

std::string shown_number(double value, int decimals, bool with_sign) {
  const double unit = std::pow(10.0, -decimals);
  if (std::abs(value) < 0.5 * unit) value = 0;
  return with_sign && value != 0 ? fmt::format("{:+.{}f}", value, decimals) : fmt::format("{:.{}f}", value, decimals);
}

std::string error_words(io::Error error) {
  error.file = std::filesystem::path(error.file).filename().string();
  return io::to_line(error);
}

std::string Ui::in_shown_units(const std::string& words) const { return inches ? with_inches(words) : words; }

}  // namespace aplomb::viewer
