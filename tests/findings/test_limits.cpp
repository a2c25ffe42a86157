// What is printed beside a result because of the result itself.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "aplomb/findings/assess.h"
#include "standing_foot.h"

using namespace aplomb::findings;
using namespace aplomb::findings::test;
using Catch::Contains;

TEST_CASE("Tissue pressed to the bone is said beside the pressures, and only then", "[findings][limits]") {
  aplomb::stance::Stance stance = unsolved_stance();
  stance.path.seat = stance.path.loaded = standing_state(stance);
  stance.path.loaded.converged = true;
  CHECK(assess(stance).limits == limits());

  stance.path.loaded.at_bone = 3;
  const Findings f = assess(stance);
  REQUIRE(f.limits.size() == limits().size() + 1);
  CHECK_THAT(f.limits.front(), Contains("pressed flat to the bone at 3 of"));
}
