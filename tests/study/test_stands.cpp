// A foot of the study that really stands.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "setup.h"

using namespace aplomb;
using namespace aplomb::study;
using namespace aplomb::study::test;

TEST_CASE("a foot stands in a graded shoe, and the same on two threads to the last bit") {
  PopulationOptions options;
  options.feet = 1;
  options.shoes = {sample_shoe("parallel")};
  options.threads = 1;
  const auto stands = run_study(options);
  options.threads = 2;
  CHECK(untimed(run_study(options)) == untimed(stands));
  REQUIRE(stands.size() == 2);
  for (const StandRecord& stand : stands) {
    const findings::Findings& f = stand.findings;
    CAPTURE(f.position, f.reason);
    CHECK(f.position == stance::name(stand.position));
    CHECK(f.load_N == Approx(stand.mass_kg * 9.80665 * stance::load_share_of_weight(stand.position)).epsilon(1e-12));
    CHECK(f.converged == f.reason.empty());
    if (!f.converged) continue;
    CHECK(f.force_balance_error < 1e-4);
    CHECK(f.load_share->sum() == Approx(100).margin(0.1));
  }
}
