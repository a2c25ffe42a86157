// Cover and gaps: a foot put at known heights in a box, gaps checked by search over the wall.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "standing_foot.h"

using namespace aplomb;
using namespace aplomb::findings;
using namespace aplomb::findings::test;
using geometry::rad_per_deg;

namespace {

/// The standing foot turned toes down, its first metatarsal head at `head_S`.
stance::Stance in_box(const Vec3& head_S) {
  stance::Stance stance = unsolved_stance();
  auto problem = std::make_shared<contact::Problem>(*stance.problem);
  geometry::Isometry T(Eigen::AngleAxisd(90 * rad_per_deg, Vec3::UnitY()));
  const Vec3 head = T * stance.foot->joints[static_cast<std::size_t>(foot::joint_index(*stance.foot, "MTP1"))].centre_F;
  T.pretranslate(head_S - head);
  problem->linkage.T_world_rest = T;
  stance.problem = problem;
  return stance;
}

Findings cover_of(const stance::Stance& stance) {
  const contact::Equilibrium state = standing_state(stance);
  Findings f;
  find_cover(pose_foot(stance, state), f);
  return f;
}

/// Distance to the wall's own points, by search round one of them.
double nearest_wall_mm(const shoe::BoxSurface& box, const Vec3& x, double turn, double v) {
  double least = 1e9;
  for (int i = -30; i <= 30; ++i)
    for (int j = -30; j <= 30; ++j) {
      const double near = turn + i / 1440.0;
      least = std::min(least, (box.wall_point(near < 0 ? near + 1 : near, v + 0.002 * j).position_S - x).norm());
    }
  return least;
}

}  // namespace

TEST_CASE("Wings cover the joints they reach past", "[findings][cover]") {
  const stance::Stance stance = in_box(Vec3(0, 24, 70));
  const shoe::ShoeParameters& p = stance.shoe->parameters;
  const double wing_end = p.platform_thickness_mm + p.wing_medial_mm;
  const Findings f = cover_of(stance);
  CHECK(*f.wing_cover_medial_mm == Approx(wing_end - 70).epsilon(1e-12));
  // The fifth head lies 176 - 158.05 mm nearer the heel (meshes/foot/template.json): so much higher on pointe.
  CHECK(*f.wing_cover_lateral_mm == Approx(wing_end - 70 - 17.95).epsilon(1e-9));
  CHECK(*cover_of(in_box(Vec3(0, 24, 90))).wing_cover_medial_mm == Approx(wing_end - 90).epsilon(1e-12));
}

TEST_CASE("The vamp covers the creases it reaches past, the least cover is the finding", "[findings][cover]") {
  const stance::Stance stance = in_box(Vec3(5, 24, 70));
  const Findings f = cover_of(stance), lower = cover_of(in_box(Vec3(5, 24, 66)));
  double least = 1e9;
  for (int k = 0; k < 5; ++k) {
    least = std::min(least, *f.vamp_cover_toe_mm[k]);
    CHECK(*lower.vamp_cover_toe_mm[k] == Approx(*f.vamp_cover_toe_mm[k] + 4).epsilon(1e-9));
  }
  CHECK(*f.vamp_cover_mm == least);
  // Second toe: crease 0.4 of the way from MTP (177.56, z 16.5) to PIP (208.0, z 14.6), under the throat's edge there.
  const double crease_z = 70 - (177.56 + 0.4 * (208.0 - 177.56) - 176.0);
  const double crease_y = 24 + (1.0 - 24.3) + 0.4 * (0.45 - 1.0);
  const shoe::ShoeParameters& p = stance.shoe->parameters;
  const double lean = std::tan(p.platform_tilt_deg * geometry::rad_per_deg);
  const double dorsum_x = lean * p.vamp_length_mm + p.crown_height_mm / 2;
  const double cut = stance.shoe->box.cut_z(geometry::Vec2(dorsum_x, crease_y));
  CHECK(*f.vamp_cover_toe_mm[1] == Approx(cut - crease_z).epsilon(1e-9));
}

TEST_CASE("Crown and toe gaps are distances to the wall, negative where skin would be through it",
          "[findings][cover]") {
  // One point of dorsal skin over the first head and one over the hallux, put on the wall's normal at chosen gaps.
  stance::Stance stance = in_box(Vec3(0, 10, 45));
  const auto& box = stance.shoe->box;
  for (const double gap : {3.0, 0.5, -2.0}) {
    CAPTURE(gap);
    const double turn = 0.02, v = box.v_of_z(45);
    const auto wall = box.wall_point(turn, v);
    const Vec3 at_S = wall.position_S + gap * wall.inward_S;
    auto problem = std::make_shared<contact::Problem>(*stance.problem);
    auto foot = std::make_shared<foot::Foot>(*stance.foot);
    const geometry::Isometry T_F_S = problem->linkage.T_world_rest.inverse();
    contact::SkinPoint point;
    point.position_rest = T_F_S * at_S;
    point.normal_rest = T_F_S.linear() * -wall.inward_S;
    point.links = {foot::ray0, 0, 0, 0};
    REQUIRE(point.normal_rest.z() > 0.5);
    foot->landmarks["MThead1"].position_F = point.position_rest - Vec3(1, 0, 20);
    // Skin of the sole under the same joint, nearer to its own wall, is no part of either.
    const auto sole = box.wall_point(0.5, v);
    contact::SkinPoint plantar = point;
    plantar.position_rest = T_F_S * (sole.position_S - 4 * sole.inward_S);
    plantar.normal_rest = T_F_S.linear() * -sole.inward_S;
    REQUIRE((plantar.position_rest - point.position_rest).head<2>().norm() < 5);
    problem->points = {point, plantar};
    foot->contact_points = {{0, Vec3::Zero(), 1, 5, foot::Region::hallux},
                            {0, Vec3::Zero(), 1, 5, foot::Region::hallux}};
    stance::Stance one = stance;
    one.problem = problem;
    one.foot = foot;
    const Findings f = cover_of(one);
    REQUIRE(f.crown_gap_mm[0]);
    CHECK(*f.crown_gap_mm[0] == Approx(gap).margin(1e-6));
    CHECK(std::abs(*f.crown_gap_mm[0]) == Approx(nearest_wall_mm(box, at_S, turn, v)).margin(1e-6));
    CHECK_FALSE(f.crown_gap_mm[4]);  // no skin there
    REQUIRE(f.toes[0].gap_mm);
    CHECK(*f.toes[0].gap_mm == Approx(gap).margin(1e-6));
    CHECK_FALSE(f.toes[1].gap_mm);
  }
}
