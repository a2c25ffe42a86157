// Every position of one foot: it balances, says what applies, and agrees with what is known from outside.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "aplomb/contact/linkage.h"
#include "stands.h"

using namespace aplomb;
using namespace aplomb::stance;
using namespace aplomb::stance::test;
using geometry::Vec3;
using U = FootUnknowns;

namespace {

Stood in_position(const ShoePtr& shoe, Position position, const FootPtr& foot = sample_foot(),
                  const Constants& constants = {}) {
  StandOptions options;
  options.position = position;
  options.constants = constants;
  return stood(foot, shoe, options);
}

/// Six balances of the foot, summed from what acts on it: contacts, bands, load, and what her body holds the leg with.
void check_balance(const Stance& stance, const contact::Equilibrium& state) {
  check_residuals(state);
  const contact::Problem& problem = *stance.problem;
  const Vec3 ankle = contact::pose(problem.linkage, state.q).T_world_link[foot::tibia] * problem.load.point_rest;
  Vec3 force = problem.load.force_N, moment = Vec3::Zero();
  const auto add = [&](const Vec3& at, const Vec3& f) {
    force += f;
    moment += (at - ankle).cross(f);
  };
  for (const contact::ContactState& c : state.contacts)
    if (c.against != contact::ContactState::Against::skin) add(c.position, c.normal_force_N + c.friction_force_N);
  for (std::size_t k = 0; k < problem.bands.size(); ++k)
    for (std::size_t i = 0; i < problem.bands[k].path.size(); ++i)
      if (problem.bands[k].path[i].on == contact::BandPoint::On::link)
        add(state.bands[k].position[i], state.bands[k].force_N[i]);
  CHECK(force.norm() <= 1e-4 * stance.load_N);
  // Her body holds the leg upright: only the moment about it is left to the foot, and a spring holds that.
  const Vec3 along = problem.linkage.T_world_rest.linear().col(2);
  double spin = 0;
  for (const contact::JointSpring& spring : problem.springs)
    if (spring.dof == U::spin) spin = spring.passive_stiffness * (state.q[U::spin] - spring.passive_rest);
  // Toes press one another where their skins lie, within a millimetre, not in one point: so far their moments may miss.
  double toes_N = 0;
  for (const contact::ContactState& c : state.contacts)
    if (c.against == contact::ContactState::Against::skin) toes_N += c.normal_force_N.norm();
  CHECK(std::abs(moment.dot(along) - spin) <= 1e-4 * stance.load_N * 30 + toes_N * 1.0);
}

const Stood& rolled_down() {
  static const Stood stand = in_position(make_shoe("parallel"), Position::roll_down);
  return stand;
}

}  // namespace

TEST_CASE("Every position balances, and each finding is there where it applies") {
  for (const std::string& text : position_names()) {
    CAPTURE(text);
    const Position position = *position_named(text);
    const Stood stand = position == Position::roll_down ? rolled_down() : in_position(make_shoe("parallel"), position);
    check_balance(stand.stance, stand.stance.rest());
    const Applies a = applies(position);
    const findings::Findings& f = stand.findings;
    CHECK(f.depth_mm.has_value() == a.depth);
    CHECK(f.sink_mm.has_value() == a.sink);
    CHECK(f.load_share.has_value() == a.load);
    CHECK(f.peak_kPa.has_value() == a.load);
    CHECK(f.ankle_moment_Nm.has_value() == a.load);
    CHECK(f.toes[0].bend_deg.has_value() == a.load);
    CHECK(f.break_point.applies == a.break_point);
    CHECK(f.plumb.margin_mm.has_value() == a.plumb);
    CHECK(f.plumb.applies == a.plumb);
    CHECK(f.toe_room_mm.has_value() == a.toe_room);
    CHECK(f.heel_slack_mm.has_value() == a.heel_slack);
    CHECK(f.rise.has_value() == (position == Position::demi_pointe));
    CHECK(f.way_down.has_value() == (position == Position::roll_down));
    CHECK(way_up(stand.stance).empty() == (position != Position::demi_pointe));
    CHECK((f.crowding_index && f.wing_cover_medial_mm && f.vamp_cover_mm));
    if (f.load_share) CHECK(std::abs(f.load_share->sum() - 100) <= 0.1);
  }
}

TEST_CASE("En pointe the ankle has most of the pointing") {
  // Russell 2011, 14 dancers: 57.6 +- 5.2 deg talocrural, 70 % of the total, the midfoot 30 %. Within two SD and a
  // tenth.
  const Stood stand = in_position(make_shoe("parallel"), Position::full_pointe_two);
  const double ankle = stand.stance.rest().q[U::ankle] * geometry::deg_per_rad;
  CHECK(ankle == Approx(57.6).margin(10.4));
  CHECK(ankle / *stand.findings.plantarflexion_used_deg == Approx(0.70).margin(0.10));
}

TEST_CASE("On the box the fold at the heel grows with the length of the shoe") {
  std::vector<double> fold;
  for (int step = 0; step < 9; ++step)
    fold.push_back(*in_position(make_shoe("deep_box", [step](auto& p) { p.inner_length_mm += step; }), Position::on_box)
                        .findings.heel_slack_mm);
  // 6-13 mm of fold in a shoe that fits (common practice, no source).
  CHECK(fold.front() > 6);
  CHECK(fold.front() < 13);
  for (std::size_t i = 1; i < fold.size(); ++i) CHECK(fold[i] > fold[i - 1]);
  // A fold of 10 mm is 20 mm of cloth (common practice, no source): a millimetre of shoe is at most half a millimetre
  // of fold; the rear end of the sole, which stands off the heel, takes up some of the cloth.
  CHECK((fold.back() - fold.front()) / 8 < 0.5);
  CHECK((fold.back() - fold.front()) / 8 > 0.15);
}

TEST_CASE("A foot without weight is held by the hand alone") {
  const Stood stand = in_position(make_shoe("parallel"), Position::on_box);
  CHECK(stand.findings.load_N == Constants{}.hand_N);
  CHECK(stand.findings.depth_mm.value() < 3);  // nothing sinks on the box (common practice, no source)
}

TEST_CASE("Where the seat is the answer it is closed like one") {
  for (const char* name : {"parallel", "tapered", "deep_box"})
    for (const double wider_mm : {0, 1, 2, 3}) {
      CAPTURE(name, wider_mm);
      const Stood stand =
          in_position(make_shoe(name, [&](auto& p) { p.ball_breadth_mm += wider_mm; }), Position::on_box);
      const contact::Equilibrium& rest = stand.stance.rest();
      for (const double residual : {rest.force_residual, rest.moment_residual, rest.joint_residual, rest.give_residual})
        CHECK(residual <= 1e-6);
    }
}

TEST_CASE("On the ball she stands with her toe joints bent up inside their range") {
  const Stood stand = in_position(make_shoe("parallel"), Position::demi_pointe);
  const findings::RiseFinding& rise = stand.findings.rise.value();
  CHECK(rise.rolls_through);
  CHECK(rise.mtp_left_deg > 0);
  // The ankle over the ball of a foot of this form: atan of 63 mm before 115 mm behind, from the joint centres.
  CHECK(rise.mtp_extension_deg == Approx(61).margin(10));
  CHECK(rise.heel_height_mm > 80);
  // Where the sole bends hard at the ball it follows the foot less.
  Constants stiff;
  stiff.ball_hinge_Nm = 6;
  const Stood hard = in_position(make_shoe("parallel"), Position::demi_pointe, sample_foot(), stiff);
  const auto end = [](const Stood& s) {
    const geometry::Vec2 at = contact::rear_end(contact::pose(*s.stance.problem->rod, s.stance.rest().q));
    return s.stance.ground.up_S().dot(Vec3(at.x(), 0, at.y()));
  };
  CHECK(end(hard) < end(stand) - 1);
}

TEST_CASE("The rise onto the ball is there state by state as it was solved, from the whole sole on") {
  const Stood stand = in_position(make_shoe("parallel"), Position::demi_pointe);
  const std::vector<Stance> way = way_up(stand.stance);
  REQUIRE(way.size() == 9);  // flat, and eight steps up
  const std::vector<findings::HeightFinding> heights = findings::find_heights(way);
  CHECK(heights.front().on_floor == "sole");
  CHECK(heights.front().heel_height_mm < 10);
  CHECK(heights.back().on_floor == "box");
  for (std::size_t i = 0; i < way.size(); ++i) {
    CAPTURE(i);
    check_balance(way[i], way[i].rest());
    if (i == 0) continue;
    CHECK(heights[i].heel_height_mm > heights[i - 1].heel_height_mm);
    CHECK(way[i].hold.ankle_command_deg > way[i - 1].hold.ankle_command_deg);
    if (i > 1)  // at first the toes press down
      CHECK(heights[i].mtp_extension_deg > heights[i - 1].mtp_extension_deg);
  }
  // It ends in the position itself, bit by bit.
  CHECK(way.back().rest().q == stand.stance.rest().q);
  CHECK(heights.back().heel_height_mm == stand.findings.rise->heel_height_mm);
  CHECK(heights.back().peak_kPa == stand.findings.peak_kPa);
}

TEST_CASE("On the way down the heel sinks height by height, and only a change of contact lets findings jump") {
  const auto& way = rolled_down().findings.way_down.value();
  REQUIRE(way.size() >= 12);
  CHECK(way.front().on_floor == "platform");
  CHECK(way.back().on_floor == "sole");
  for (const Stance& height : rolled_down().stance.way_down) check_balance(height, height.rest());
  for (std::size_t i = 1; i < way.size(); ++i) {
    CAPTURE(i, way[i].on_floor, way[i - 1].on_floor);
    CHECK(way[i].heel_height_mm < way[i - 1].heel_height_mm);
    if (way[i].on_floor != way[i - 1].on_floor) continue;
    CHECK(std::abs(way[i].heel_slack_mm - way[i - 1].heel_slack_mm) < 4);
    CHECK(std::abs(way[i].shank_gap_mm - way[i - 1].shank_gap_mm) < 4);
    CHECK(std::abs(way[i].mtp_extension_deg - way[i - 1].mtp_extension_deg) < 12);
    CHECK(std::abs(way[i].peak_kPa - way[i - 1].peak_kPa) < 0.25 * way[i - 1].peak_kPa);
  }
}

TEST_CASE("A shoe that is too short comes off the heel on the way down") {
  // Common practice, no source.
  const Stood shorter =
      in_position(make_shoe("parallel", [](auto& p) { p.inner_length_mm -= 8; }), Position::roll_down);
  CHECK(*shorter.findings.heel_slack_mm < *rolled_down().findings.heel_slack_mm - 2);
  CHECK(shorter.findings.way_down->back().heel_slack_mm < rolled_down().findings.way_down->back().heel_slack_mm - 2);
}

TEST_CASE("A foot that does not get over is told what it would take, and gets over with it") {
  const FootPtr stiff = make_foot([](foot::Card& card) { card.numbers[foot::plantarflexion] = 58; });
  const ShoePtr shoe = make_shoe("parallel");
  const Stood stand = in_position(shoe, Position::full_pointe_two, stiff);
  CHECK_FALSE(stand.findings.plumb.gets_over);
  REQUIRE((stand.findings.pointing_needed_deg && stand.findings.moment_needed_Nm));
  CHECK(*stand.findings.pointing_needed_deg > *stand.findings.plantarflexion_used_deg + 2);
  const double needed_deg = *stand.findings.pointing_needed_deg;
  const FootPtr able =
      make_foot([needed_deg](foot::Card& card) { card.numbers[foot::plantarflexion] = needed_deg + 8; });
  CHECK(in_position(shoe, Position::full_pointe_two, able).findings.plumb.gets_over);
  CHECK_FALSE(in_position(shoe, Position::full_pointe_two).findings.pointing_needed_deg);
}
