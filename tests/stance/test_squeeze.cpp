// How the forefoot gives to a squeeze from both sides.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/system.h"
#include "stands.h"

using namespace aplomb;
using namespace aplomb::stance;
using namespace aplomb::stance::test;
using U = FootUnknowns;

namespace {

constexpr double lever_mm = 55;  // of the rays, as the constants were computed

/// Force that narrows the ball by `squeeze_mm`, its first and fifth ray taking half each.
double force_N(const Stood& s, double squeeze_mm) {
  contact::Problem rays;
  rays.linkage = s.stance.problem->linkage;
  rays.dof_count = s.stance.problem->dof_count;
  rays.dof_is_length = s.stance.problem->dof_is_length;
  for (const contact::JointSpring& spring : s.stance.problem->springs)
    if (spring.dof == U::ray_splay) rays.springs.push_back(spring);
  contact::System system(rays);
  Eigen::VectorXd q = Eigen::VectorXd::Zero(rays.dof_count), R;
  q[U::ray_splay] = squeeze_mm / 2 / lever_mm;
  system.freeze(q);
  system.assemble(q, 1, contact::FrictionMode::none, R, nullptr);
  return R[U::ray_splay] / lever_mm;
}

double slope(const Stood& s, double from_mm, double to_mm) {
  return (force_N(s, to_mm) - force_N(s, from_mm)) / (to_mm - from_mm);
}

}  // namespace

TEST_CASE("a squeezed forefoot is soft, then firm, then hard") {
  // 8, 25 and 80 N/mm up to 4 mm, up to 8 mm and past it: an estimate from the 6-10 % by which loaded and unloaded
  // breadth differ; no measurement is known.
  const auto foot_giving = [](double squeeze) {
    return make_foot([=](foot::Card& card) {
      card.numbers[foot::breadth_relaxed] = *card.numbers[foot::foot_breadth] - 3;
      card.numbers[foot::breadth_squeezed] = *card.numbers[foot::breadth_relaxed] * (1 - squeeze * 3.5 / 90);
    });
  };
  const ShoePtr shoe = make_shoe("parallel");
  const Stood usual = stood(foot_giving(1), shoe), twice = stood(foot_giving(2), shoe);
  CHECK(slope(usual, 0.5, 3.5) == Approx(8).epsilon(0.02));
  CHECK(slope(usual, 4.5, 7.5) == Approx(25).epsilon(0.02));
  CHECK(slope(usual, 8.5, 11) == Approx(80).epsilon(0.02));
  CHECK(slope(twice, 1, 7) == Approx(4).epsilon(0.02));
  CHECK(slope(twice, 9, 15) == Approx(12.5).epsilon(0.02));
}

TEST_CASE("a foot that gives more is narrower in the box, and the box gives less") {
  const auto foot_giving = [](double by_mm) {
    return make_foot([=](foot::Card& card) {
      card.numbers[foot::breadth_relaxed] = *card.numbers[foot::foot_breadth] - 3;
      card.numbers[foot::breadth_squeezed] = *card.numbers[foot::breadth_relaxed] - by_mm;
    });
  };
  const ShoePtr shoe = make_shoe("tapered");
  const Stood firm = stood(foot_giving(1.5), shoe), soft = stood(foot_giving(6), shoe);
  const auto narrower = [](const Stood& s) {  // by its outer rays, mm
    const auto& q = s.stance.rest().q;
    return lever_mm * (std::abs(q[U::ray_splay]) + std::abs(q[U::ray_splay + 4]));
  };
  CAPTURE(narrower(firm), narrower(soft), *firm.findings.wall_give_mm, *soft.findings.wall_give_mm);
  CHECK(narrower(soft) > narrower(firm) + 0.5);
  CHECK(*soft.findings.wall_give_mm < *firm.findings.wall_give_mm);
}
