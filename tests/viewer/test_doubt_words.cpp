// A band in the unit of its number, and what is said of it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "viewer/doubt_words.h"

using namespace aplomb;
using namespace aplomb::viewer;

TEST_CASE("a band is shown in the unit of its number", "[doubts]") {
  const auto shown = [](const char* value, const char* doubt, bool inches) {
    const auto band = band_text(value, doubt, inches);
    return band ? in_brackets(*band) : "none";
  };
  CHECK(shown("+3.1 mm", "[-1.2 .. +5.4]", false) == "[-1.2 .. +5.4] mm");
  CHECK(shown("+3.1 mm", "~[-12.7 .. +25.4]", true) == "~[-0.500 .. +1.000] in");
  CHECK(shown("45.0 %", "[40.1 .. 51.0]", true) == "[40.1 .. 51.0] %");
  CHECK(shown("+4.0 N m", "~[-0.1 .. +6.0]", true) == "~[-0.1 .. +6.0] N m");
  CHECK(shown("0.30", "[0.20 .. 0.41]", false) == "[0.20 .. 0.41]");
  CHECK(shown("+3.1 mm", "[not known]", false) == "none");
  CHECK(shown("+3.1 mm", "", false) == "none");
}

TEST_CASE("a band says how it was found, and what would narrow it", "[doubts]") {
  findings::Doubts doubts;
  findings::Doubt depth;
  depth.key = "depth_mm";
  depth.by_expansion = true;
  depth.q2 = 0.971;
  depth.runs = 128;
  depth.words = "comes mostly from body mass (45 %); measure ball girth to narrow it by 12 %";
  doubts.bands = {depth};
  const std::string words = band_meaning(doubts, "depth_mm");
  CHECK_THAT(words, Catch::Contains("9 in 10 of the values that are plausible") &&
                        Catch::Contains("an expansion of 128 runs") && Catch::Contains("Q2 0.97") &&
                        Catch::Contains("It comes mostly from body mass (45 %); measure ball girth"));
  doubts.bands[0].by_expansion = false;
  CHECK_THAT(band_meaning(doubts, "depth_mm"), Catch::Contains("plain quantiles of 128 runs"));
  CHECK_THAT(band_meaning(doubts, "sink_mm"), Catch::Contains("too few runs"));
}
