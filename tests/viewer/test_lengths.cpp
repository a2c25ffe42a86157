// Lengths as they are read: in millimetres, or every one of a sentence in inches. An inch is 25.4 mm (ISO
// 80000-3:2019).
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <string>

#include "viewer/lengths.h"

using namespace aplomb::viewer;

TEST_CASE("every length of a sentence is turned into inches, and nothing else", "[lengths]") {
  const auto turns = [](const std::string& mm, const std::string& in) {
    CAPTURE(mm);
    CHECK(with_inches(mm) == in);
    CHECK(with_inches(in) == in);  // once is enough
  };
  turns("25.4 mm", "1.000 in");
  turns("-25 mm", "-0.98 in");
  turns("+3.1 mm", "+0.122 in");
  turns("0.0 mm", "0.000 in");
  turns("heel slack 14.8 becomes 10.8 mm; limit 12 mm (on the box)",
        "heel slack 0.583 becomes 0.425 in; limit 0.47 in (on the box)");
  turns("90 of 100: 236.6 .. 239.4 mm", "90 of 100: 9.315 .. 9.425 in");
  turns("4 to 12 mm. Or 1, 2 and 3 mm", "0.16 to 0.47 in. Or 1, 0.08 and 0.12 in");
  turns("heel 40 mm", "heel 1.57 in");
  turns("(2 mm)", "(0.08 in)");
  for (const char* stays :
       {"", "mm", " mm", "1 N/mm", "12 mm\xc2\xb2", "12 mm^2", "12 mmHg", "T-240 mm", "240/90", "3 kPa", "a. mm"})
    turns(stays, stays);
}

TEST_CASE("a value and a length are told in the unit that is asked for", "[lengths]") {
  CHECK(length_words(25.4, false) == "25.4 mm");
  CHECK(length_words(25.4, true) == "1.000 in");
  CHECK(in_units("+25.4 mm", true) == "+1.000 in");
  CHECK(in_units("+25.4 mm", false) == "+25.4 mm");
  CHECK(in_units("7.0 kPa", true) == "7.0 kPa");
}
