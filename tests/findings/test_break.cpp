// The break point of a shank bent at one known place, along a straight midline: offsets in closed form.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "parts.h"

using namespace aplomb;
using namespace aplomb::findings;

namespace {

/// A sole of 200 mm straight up the box from z = 60, 20 elements; on it a midline with its arch at 80, 120 and 170 mm
/// from the heel end (back, apex, front).
struct StraightSole {
  static constexpr double element_mm = 10, start_z = 60, length_mm = 200;
  stance::Stance stance;
  contact::Equilibrium state;

  StraightSole() {
    auto foot = std::make_shared<foot::Foot>();
    auto problem = std::make_shared<contact::Problem>();
    for (int bone = 0; bone < foot::bone_count; ++bone)
      problem->linkage.links.push_back({foot::bone_names[bone], foot::bone_parent(bone), {}});
    for (int i = 0; i <= 100; ++i) {  // every 2 mm from the heel end down
      foot->skin.vertices_F.emplace_back(0, 0, start_z + length_mm - 2 * i);
      foot->skin.bones.push_back({0, 0, 0, 0});
      foot->skin.weights.push_back({1, 0, 0, 0});
      foot->skin.faces.push_back({i, i, i});
      foot->plantar_midline.push_back({i, Vec3(1, 0, 0)});
    }
    foot->arch_back = 40;
    foot->arch_apex = 60;
    foot->arch_front = 85;
    contact::Rod rod;
    rod.start_xz = {0, start_z};
    rod.length_mm.assign(20, element_mm);
    rod.EI_Nmm2.assign(20, 1e5);
    rod.rest_curvature.assign(20, 0);
    rod.half_breadth_mm.assign(21, 20);
    problem->rod = rod;
    problem->dof_count = 20;
    contact::Band band;
    band.path = {{contact::BandPoint::On::world, 0, Vec3(60, 0, 80)}, {contact::BandPoint::On::rod, 20, Vec3::Zero()}};
    problem->bands = {band};
    pull(20);
    state.q = Eigen::VectorXd::Zero(20);
    stance.foot = foot;
    stance.problem = problem;
  }

  void pull(double tension_N) {
    state.bands.assign(1, contact::BandState{tension_N, 0, {Vec3::Zero(), Vec3::Zero()}, {Vec3::Zero(), Vec3::Zero()}});
  }

  /// Bent by 0.001 rad in this element alone: 5 um out of line at most.
  BreakFinding bent_in(int element) {
    state.q.setZero();
    for (int j = element; j < 20; ++j) state.q[j] = -1e-3;
    Findings f;
    find_break(pose_foot(stance, state), f);
    return f.break_point;
  }
};

}  // namespace

TEST_CASE("Break offsets are arc length from each landmark, + toward the heel", "[findings][break]") {
  StraightSole sole;
  const BreakFinding at = sole.bent_in(12);  // 120-130 mm from the box: 75 mm from the heel end
  REQUIRE(at.held);
  CHECK(*at.front_offset_mm == Approx(170 - 75).margin(0.1));
  CHECK(*at.apex_offset_mm == Approx(120 - 75).margin(0.1));
  CHECK(*at.back_offset_mm == Approx(80 - 75).margin(0.1));
  CHECK(*at.arch_fraction == Approx((170.0 - 75) / (170 - 80)).margin(0.002));
  CHECK_FALSE(at.bends_at_box);
  const BreakFinding nearer_heel = sole.bent_in(13);
  CHECK(*nearer_heel.front_offset_mm - *at.front_offset_mm == Approx(10).margin(0.05));
  const BreakFinding before_arch = sole.bent_in(2);  // 175 mm from the heel: in front of the arch
  CHECK(*before_arch.front_offset_mm == Approx(-5).margin(0.1));
  CHECK(*before_arch.arch_fraction < 0);
}

TEST_CASE("A shank that bends where it leaves the box says so", "[findings][break]") {
  StraightSole sole;
  CHECK(sole.bent_in(0).bends_at_box);
}

TEST_CASE("Without a hold at the heel there is no break", "[findings][break]") {
  StraightSole sole;
  sole.pull(0);
  const BreakFinding none = sole.bent_in(12);
  CHECK_FALSE(none.held);
  CHECK_FALSE(none.front_offset_mm);
  CHECK_FALSE(none.arch_fraction);
  sole.pull(4);  // no drawstring, but the upper is stretched over the heel
  CHECK(sole.bent_in(12).held);
}
