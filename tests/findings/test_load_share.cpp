// Who carries the load: contacts made by hand, sums by hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "aplomb/contact/system.h"
#include "aplomb/shoe/box_surface.h"
#include "blocks.h"
#include "standing_foot.h"

using namespace aplomb;
using namespace aplomb::findings;
using namespace aplomb::findings::test;
using Against = contact::ContactState::Against;
using shoe::Zone;

namespace {

/// A touch on a point of toe `k` that carries these two forces.
contact::ContactState touch(const Blocks& blocks, int k, Against against, Zone zone, const Vec3& normal_N,
                            const Vec3& friction_N = Vec3::Zero()) {
  contact::ContactState c;
  const auto& points = blocks.stance.foot->contact_points;
  while (static_cast<int>(points[static_cast<std::size_t>(c.point)].region) != k) ++c.point;
  c.against = against;
  c.zone = static_cast<int>(zone);
  c.normal_force_N = normal_N;
  c.friction_force_N = friction_N;
  return c;
}

}  // namespace

TEST_CASE("Load shares are the sums of S.z force in percent of the load", "[findings][load]") {
  Blocks blocks(in_a_row());
  blocks.stance.load_N = 200;
  blocks.state.contacts = {
      touch(blocks, 0, Against::surface, Zone::platform, {1, 2, 60}, {5, 0, 2}),
      touch(blocks, 1, Against::surface, Zone::platform, {0, 0, 30}),
      touch(blocks, 0, Against::surface, Zone::wall_medial, {0, -40, 20}, {0, 1, 10}),
      touch(blocks, 4, Against::surface, Zone::wall_lateral, {0, 40, 16}, {0, -1, 8}),
      touch(blocks, 2, Against::surface, Zone::wall_sole, {30, 0, 4}, {0, 0, 1}),
      touch(blocks, 2, Against::surface, Zone::wall_dorsal, {-30, 0, 6}),
      touch(blocks, 1, Against::surface, Zone::vamp, {-50, 0, 24}, {0, 0, 5}),
      touch(blocks, 3, Against::rod, Zone::platform, {9, 0, 18}),
      touch(blocks, 3, Against::rod, Zone::platform, {9, 0, -4}),    // may pull down: counted as it is
      touch(blocks, 2, Against::skin, Zone::platform, {0, 70, 50}),  // toe on toe: nothing reaches the shoe
  };
  Findings f;
  find_load_share(blocks.posed(), f);
  REQUIRE(f.load_share);
  CHECK(f.load_share->platform == Approx(46).epsilon(1e-12));
  CHECK(f.load_share->wall_normal == Approx(23).epsilon(1e-12));
  CHECK(f.load_share->wall_friction == Approx(9.5).epsilon(1e-12));
  CHECK(f.load_share->vamp == Approx(14.5).epsilon(1e-12));
  CHECK(f.load_share->shank_heel == Approx(7).epsilon(1e-12));
  CHECK(f.load_share->sum() == Approx(100).epsilon(1e-12));
  REQUIRE(f.load_kind);
  CHECK(f.load_kind->forefoot_normal == Approx(80).epsilon(1e-12));
  CHECK(f.load_kind->all_friction == Approx(13).epsilon(1e-12));
  CHECK(f.load_kind->heel_and_shank == Approx(7).epsilon(1e-12));
  CHECK(f.load_kind->sum() == Approx(f.load_share->sum()).epsilon(1e-12));
  const double toes[] = {46, 29.5, 5.5, 7, 12};
  for (int k = 0; k < 5; ++k) CHECK(*f.toes[k].load_share == Approx(toes[k]).epsilon(1e-12));
}

TEST_CASE("Load shares are never adjusted to add up", "[findings][load]") {
  Blocks blocks(in_a_row());
  blocks.stance.load_N = 200;
  blocks.state.contacts = {touch(blocks, 0, Against::surface, Zone::platform, {0, 0, 150})};
  Findings f;
  find_load_share(blocks.posed(), f);
  CHECK(f.load_share->sum() == Approx(75).epsilon(1e-12));
}

TEST_CASE("The heel's hold enters the load with its part along S.z", "[findings][load]") {
  stance::Stance stance = unsolved_stance();
  auto problem = std::make_shared<contact::Problem>(*stance.problem);
  const Vec3 heel = stance.foot->landmarks.at("heel_back").position_F -
                    stance.foot->landmarks.at("ankle_centre").position_F;  // ankle centre stands at the origin
  using On = contact::BandPoint::On;
  const foot::Landmark& at = stance.foot->landmarks.at("heel_back");
  problem->bands = {{"heel",
                     {{On::world, 0, heel + Vec3(0, 0, 300)},  // straight up
                      {On::link, at.bone, at.position_F},
                      {On::rod, problem->rod->element_count(), Vec3::Zero()}},
                     25}};
  stance.problem = problem;
  contact::Equilibrium state = standing_state(stance);
  contact::System system(*problem);
  state.bands = system.bands(state.q);
  const Vec2 end = contact::rear_end(contact::pose(*problem->rod, state.q));
  const Vec3 to_end = Vec3(end.x(), 0, end.y()) - heel;
  Findings f;
  find_load_share(pose_foot(stance, state), f);
  const double expected = 25 * (1 + to_end.z() / to_end.norm()) / stance.load_N * 100;
  CHECK(f.load_share->shank_heel == Approx(expected).epsilon(1e-5));  // the band's length is rounded near nought
  CHECK(f.load_share->sum() == Approx(f.load_share->shank_heel));
  CHECK(f.load_kind->heel_and_shank == Approx(f.load_share->shank_heel));
}
