// Feet drawn from the prior, looked at in plan: a pattern is where the toe tips are, not what was asked for.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/random.h"
#include "aplomb/geometry/exact.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::foot;
using testing::model;
using testing::need;
using testing::prior;
using testing::sites;

namespace {

/// Plan of a standing foot, mm from the back of the heel.
struct Plan {
  std::array<double, toe_count> tip{}, root{};
  double ball = 0;
};

Plan plan_of(const Foot& foot) {
  const Body body = body_at(model(), testing::shape_of(foot));
  Plan plan;
  for (int toe = 0; toe < toe_count; ++toe) {
    plan.tip[toe] = body.skin(0, sites().toe_tip[toe]);
    plan.root[toe] = body.joints(0, sites().mtp[toe]);
  }
  plan.ball = body.joints(0, sites().mtp[0]);
  return plan;
}

}  // namespace

TEST_CASE("drawn: toe tips make the pattern that was drawn, in front of the ball", "[fit][random]") {
  constexpr int feet = 12;
  // How far the hallux ends ahead of the second toe in meshes/anatomy at 240 mm, by pattern.
  constexpr std::array<double, 3> tables_mm = {6.6, -4.0, 1.3};
  for (const ToePattern pattern : {ToePattern::egyptian, ToePattern::greek, ToePattern::square}) {
    double mean_ahead = 0;
    for (int seed = 0; seed < feet; ++seed) {
      RandomOptions options;
      options.pattern = pattern;
      const Foot foot = need(random_foot(model(), prior(), static_cast<std::uint64_t>(seed), options));
      const Plan plan = plan_of(foot);
      CAPTURE(static_cast<int>(pattern), seed, plan.tip[0], plan.tip[1], plan.tip[2], plan.tip[3], plan.tip[4]);
      const double ahead = plan.tip[0] - plan.tip[1];
      mean_ahead += ahead / feet;
      // Hallux longest, second longest, both level as far as eyes tell with the hallux leaning one way or the other.
      if (pattern == ToePattern::egyptian) CHECK(ahead > 2);
      if (pattern == ToePattern::greek) CHECK(ahead < 0);
      if (pattern == ToePattern::square) CHECK(std::abs(ahead) < 5.5);
      // From the second on every toe ends behind the one before it, and in front of the ball and of its own root.
      for (int toe = 2; toe < toe_count; ++toe) CHECK(plan.tip[toe] < plan.tip[toe - 1] + 1.5);
      CHECK(plan.tip[toe_count - 1] > plan.ball + 5);
      for (int toe = 0; toe < toe_count; ++toe) CHECK(plan.tip[toe] > plan.root[toe] + 20);
      CHECK(std::max(plan.tip[0], plan.tip[1]) == Catch::Detail::Approx(foot.length_mm).margin(0.6));
    }
    CHECK(mean_ahead == Catch::Detail::Approx(tables_mm[static_cast<int>(pattern)]).margin(2));
  }
}

TEST_CASE("drawn: what no foot can be is drawn again, the same way every time", "[fit][random]") {
  constexpr std::uint64_t feet = 3000;
  for (std::uint64_t seed = 0; seed < feet; ++seed) {
    const Card card = random_card(prior(), seed);
    CAPTURE(seed, *card.numbers[hallux_angle]);
    REQUIRE(*card.numbers[hallux_angle] >= 0);
    REQUIRE(!contradiction_in(card.numbers));
  }
  constexpr std::uint64_t seed = 1099;
  const Card first = random_card(prior(), seed);
  const Foot once = need(random_foot(model(), prior(), seed)), again = need(random_foot(model(), prior(), seed));
  CHECK(once.length_mm == Catch::Detail::Approx(*first.numbers[foot_length]).margin(0.5));
  CHECK(once.shape == again.shape);
  CHECK(once.skin.vertices_F == again.skin.vertices_F);
}

TEST_CASE("drawn: unloaded feet are closed, with toes apart", "[fit][random]") {
  // Narrowed by more than usual when the weight comes off, the toes of the first ones would have to share less breadth
  // than they have, did they not narrow with the ball.
  for (const std::uint64_t seed : {1010, 1033, 1098, 1113}) {
    const Foot foot = need(random_foot(model(), prior(), seed));
    CAPTURE(seed);
    CHECK(geometry::examine({foot.skin.vertices_F, foot.skin.faces}).self_intersections == 0);
    CHECK(foot.breadth_relaxed_mm < foot.breadth_mm - 2);
  }
}
