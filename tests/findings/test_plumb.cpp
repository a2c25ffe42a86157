// Plumb, margin, ankle and the hindfoot's lean: a foot turned by known angles over a rectangular platform.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "standing_foot.h"

using namespace aplomb;
using namespace aplomb::findings;
using namespace aplomb::findings::test;
using geometry::deg_per_rad;
using geometry::Mat3;
using geometry::rad_per_deg;
using U = stance::FootUnknowns;

namespace {

/// The whole foot turned by R about the ankle centre, which then lies at `ankle_S`.
stance::Stance turned(const Mat3& R, const Vec3& ankle_S = Vec3::Zero()) {
  stance::Stance stance = unsolved_stance();
  auto problem = std::make_shared<contact::Problem>(*stance.problem);
  geometry::Isometry& placed = problem->linkage.T_world_rest;
  placed = geometry::Isometry(Eigen::Translation3d(ankle_S)) * geometry::Isometry(R) * placed;
  stance.problem = problem;
  return stance;
}

Mat3 about(const Vec3& axis, double deg) { return Eigen::AngleAxisd(deg * rad_per_deg, axis).toRotationMatrix(); }

/// F's x axis, heel to toes, points down: the dorsum (F.z) looks along S.x, medial stays medial.
const Mat3 toes_down = about(Vec3::UnitY(), 90);

Findings plumb_of(const stance::Stance& stance, const contact::Equilibrium& state) {
  Findings f;
  find_plumb(pose_foot(stance, state), f);
  return f;
}

/// A foot that stands with its whole load on one point of a platform of 40 x 24 mm (across, fore and aft).
Findings standing_on(double fore_aft_mm, double medial_mm, stance::Position position) {
  stance::Stance stance = turned(toes_down);
  auto shoe = std::make_shared<shoe::Shoe>(*stance.shoe);
  shoe->platform_outline = {{12, -20}, {12, 20}, {-12, 20}, {-12, -20}};
  stance.shoe = shoe;
  stance.position = position;
  contact::Equilibrium state = standing_state(stance);
  contact::ContactState c;
  c.position = Vec3(fore_aft_mm, medial_mm, 0);
  c.normal_force_N = Vec3(0, 0, 250);
  state.contacts.push_back(c);
  return plumb_of(stance, state);
}

}  // namespace

TEST_CASE("Margin: signed distance to a rectangular platform", "[findings][plumb]") {
  using enum stance::Position;
  const Findings inside = standing_on(3, -5, full_pointe_one);
  CHECK(inside.plumb.cop_fore_aft_mm == Approx(3));
  CHECK(inside.plumb.cop_medial_mm == Approx(-5));
  CHECK(*inside.plumb.margin_mm == Approx(9));
  CHECK(inside.plumb.gets_over);
  CHECK(*standing_on(0, 18, full_pointe_one).plumb.margin_mm == Approx(2));
  const Findings outside = standing_on(-15, 24, full_pointe_one);  // past a corner by 3 and 4
  CHECK(*outside.plumb.margin_mm == Approx(-5));
  CHECK_FALSE(outside.plumb.gets_over);
  CHECK(standing_on(12, 0, full_pointe_one).plumb.gets_over);  // on the edge
  // On two feet the other foot holds her sideways: only fore and aft count.
  CHECK(*standing_on(4, 24, full_pointe_two).plumb.margin_mm == Approx(8));
  CHECK(*standing_on(-15, 24, full_pointe_two).plumb.margin_mm == Approx(-3));
}

TEST_CASE("Plumb is where the ankle stands over the platform's centre", "[findings][plumb]") {
  const stance::Stance stance = turned(toes_down, Vec3(7, -3, 160));
  const Findings f = plumb_of(stance, standing_state(stance));
  CHECK(*f.plumb.fore_aft_mm == Approx(7));
  CHECK(*f.plumb.medial_mm == Approx(-3));
}

TEST_CASE("Side roll is + when the ankle end leans medially", "[findings][plumb]") {
  for (const double deg : {-12.0, 0.0, 6.0}) {
    const stance::Stance stance = turned(about(-Vec3::UnitX(), deg) * toes_down);
    const contact::Equilibrium state = standing_state(stance);
    const PosedFoot posed = pose_foot(stance, state);
    const Findings f = plumb_of(stance, state);
    CHECK(*f.side_roll_deg == Approx(deg).margin(1e-9));
    CHECK(*f.twist_deg == Approx(0).margin(1e-9));
    // By the foot itself: from ball to heel, to the side against straight up, beyond what the foot has standing.
    const Vec3 up = posed.landmark_S("heel_back") - posed.joint_centre_S("MTP2");
    const Vec3 flat = stance.foot->landmarks.at("heel_back").position_F -
                      stance.foot->joints[static_cast<std::size_t>(foot::joint_index(*stance.foot, "MTP2"))].centre_F;
    CHECK((std::atan2(up.y(), up.z()) - std::atan2(flat.y(), -flat.x())) * deg_per_rad == Approx(deg).margin(1e-9));
  }
}

TEST_CASE("Twist is + when the dorsum turns laterally", "[findings][plumb]") {
  for (const double deg : {-9.0, 4.0, 20.0}) {
    const stance::Stance stance = turned(about(-Vec3::UnitZ(), deg) * toes_down);
    const contact::Equilibrium state = standing_state(stance);
    const Findings f = plumb_of(stance, state);
    CHECK(*f.twist_deg == Approx(deg).margin(1e-9));
    CHECK(*f.side_roll_deg == Approx(0).margin(1e-9));
    const Vec3 dorsum = pose_foot(stance, state).T_S_bone[foot::hindfoot].linear() * Vec3::UnitZ();
    CHECK(std::atan2(-dorsum.y(), dorsum.x()) * deg_per_rad == Approx(deg).margin(1e-9));  // lateral is -y
  }
}

TEST_CASE("Roll and twist are read in the order z, x, y and do not see the pointing", "[findings][plumb]") {
  for (const double pointing : {30.0, 83.0, 110.0}) {
    const stance::Stance stance =
        turned(about(-Vec3::UnitZ(), 8) * about(-Vec3::UnitX(), -5) * about(Vec3::UnitY(), pointing));
    const Findings f = plumb_of(stance, standing_state(stance));
    CHECK(*f.twist_deg == Approx(8).margin(1e-9));
    CHECK(*f.side_roll_deg == Approx(-5).margin(1e-9));
  }
}

TEST_CASE("Pointing used is the turn from tibia to forefoot, and what is left of her range", "[findings][plumb]") {
  const stance::Stance stance = turned(toes_down);
  contact::Equilibrium state = standing_state(stance);
  CHECK(*plumb_of(stance, state).plantarflexion_used_deg == Approx(0).margin(1e-9));
  state.q[U::ankle] = 50 * rad_per_deg;
  state.q[U::midtarsal] = 13 * rad_per_deg;  // brings 4 of the naviculocuneiform joint along
  for (int k = 0; k < 5; ++k) state.q[U::ray_flexion + k] = 8 * rad_per_deg;
  const Findings f = plumb_of(stance, state);
  CHECK(*f.plantarflexion_used_deg == Approx(75).epsilon(1e-12));
  CHECK(*f.plantarflexion_left_deg == Approx(stance.foot->plantarflexion_deg - 75).epsilon(1e-12));
}

TEST_CASE("Ankle moment is what her hold gives, + plantar-flexing, never past its cap", "[findings][plumb]") {
  stance::Stance stance = turned(toes_down);
  auto problem = std::make_shared<contact::Problem>(*stance.problem);
  contact::JointSpring hold{U::ankle, "ankle"};
  hold.tone_stiffness = 200e3;
  hold.tone_cap = 40e3;
  hold.tone_target = 50 * rad_per_deg;
  problem->springs = {hold};
  stance.problem = problem;
  const auto moment_at = [&](double deg) {
    contact::Equilibrium state = standing_state(stance);
    state.q[U::ankle] = deg * rad_per_deg;
    return *plumb_of(stance, state).ankle_moment_Nm;
  };
  CHECK(moment_at(50) == Approx(0).margin(1e-12));
  // Pushed 1 deg short of where she aims, she pushes toward pointing: 200 N m/rad x 1 deg, a little less by the cap.
  CHECK(moment_at(49) == Approx(200 * rad_per_deg).epsilon(0.01));
  CHECK(moment_at(49) > 0);
  CHECK(moment_at(51) == Approx(-moment_at(49)));
  CHECK(moment_at(-40) <= 40);
  CHECK(moment_at(-40) > 39.9);
}
