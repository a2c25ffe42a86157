// The numbers stand in the rows' own words, so that screen, table and page say the same.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "doubt_words.h"

#include <fmt/format.h>

#include <algorithm>

#include "aplomb/report/rows.h"
#include "lengths.h"
#include "words.h"

namespace aplomb::viewer {

namespace {

constexpr std::string_view between = " .. ";

}  // namespace

std::optional<BandText> band_text(const std::string& value, const std::string& doubt, bool inches) {
  const std::size_t open = doubt.find('['), middle = doubt.find(between), close = doubt.find(']');
  if (open == std::string::npos || middle == std::string::npos || close == std::string::npos) return std::nullopt;
  const std::size_t space = value.find(' ');
  std::string unit = space == std::string::npos ? "" : value.substr(space);
  const auto shown = [&](const std::string& number) {
    const std::string whole = in_units(number + unit, inches);
    return whole.substr(0, whole.find(' '));
  };
  BandText band{shown(doubt.substr(open + 1, middle - open - 1)),
                shown(doubt.substr(middle + between.size(), close - middle - between.size())), "", open > 0};
  if (inches && unit == " mm") unit = " in";
  band.unit = unit.empty() ? "" : unit.substr(1);
  return band;
}

std::string in_brackets(const BandText& band) {
  return fmt::format("{}[{} .. {}]{}{}", band.quantiles ? "~" : "", band.low, band.high, band.unit.empty() ? "" : " ",
                     band.unit);
}

std::string band_meaning(const findings::Doubts& doubts, const std::string& key) {
  const auto found = std::find_if(doubts.bands.begin(), doubts.bands.end(),
                                  [&](const findings::Doubt& doubt) { return doubt.key == key; });
  if (found == doubts.bands.end()) return "Not known between what values it lies: too few runs have this number.";
  std::string words = report::doubt_words();
  words +=
      found->by_expansion
          ? fmt::format("\nBy an expansion of {} runs, which foretells runs held out from it (Q2 {:.2f}).", found->runs,
                        found->q2)
          : fmt::format("\n~: plain quantiles of {} runs; no expansion foretold runs held out from it well enough.",
                        found->runs);
  if (!found->words.empty()) words += "\n" + capital("it " + found->words) + ".";
  return words;
}

}  // namespace aplomb::viewer
