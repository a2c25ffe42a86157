// The foot lined up with the leg: where second toe and ball come to lie, and the ankle over the toe.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "foot_linkage.h"
#include "stands.h"

using namespace aplomb;
using geometry::rad_per_deg;
using geometry::Vec3;
using U = stance::FootUnknowns;

namespace {

/// Second toe's tip and the line from fifth to first MTP joint, seen from the ankle in the tibia's frame.
struct Pointed {
  Vec3 tip, ball;
};
Pointed pointed(const foot::Foot& foot, const contact::Linkage& linkage, const stance::Aim& aim) {
  const auto tibia = linkage.T_world_rest.inverse();
  const auto T = contact::pose(linkage, stance::pointed_posture(foot, stance::Constants{}, aim, U::count)).T_world_link;
  auto joint = [&](const char* name, int ray) {
    return Vec3(tibia * (T[static_cast<std::size_t>(foot::ray0 + ray)] *
                         foot.joints[static_cast<std::size_t>(foot::joint_index(foot, name))].centre_F));
  };
  const foot::Landmark& tip = foot.landmarks.at("bonetip2");
  return {
      tibia * (T[static_cast<std::size_t>(tip.bone)] * tip.position_F) - foot.landmarks.at("ankle_centre").position_F,
      joint("MTP1", 0) - joint("MTP5", 4)};
}

}  // namespace

TEST_CASE("lined up: the second toe lies under the ankle and the ball is square, whatever the tibia's lean") {
  const foot::Foot& foot = *stance::test::sample_foot();
  const geometry::Mat3 lean = Eigen::AngleAxisd(0.12, Vec3(0.3, 1, 0).normalized()).toRotationMatrix();
  for (const geometry::Mat3& tibia : {geometry::Mat3(geometry::Mat3::Identity()), lean}) {
    const auto linkage = stance::foot_linkage(foot, {}, tibia);
    REQUIRE(linkage);
    for (double ankle_deg : {35.0, 45.0, 55.0}) {
      CAPTURE(ankle_deg);
      const stance::Aim aim = stance::lined_up(foot, *linkage, {}, ankle_deg * rad_per_deg);
      const Pointed at = pointed(foot, *linkage, aim);
      CHECK(at.tip.y() == Approx(0).margin(1e-6));
      CHECK(at.ball.x() == Approx(0).margin(1e-6));
      CHECK(at.ball.y() > 40);  // medial side medial
      // She everts for it, both joints by the same share of what they have.
      CHECK(aim.subtalar < 0);
      const auto range = [&](const char* name) {
        return foot.joints[static_cast<std::size_t>(foot::joint_index(foot, name))].min_deg * rad_per_deg;
      };
      CHECK(aim.subtalar / range("subtalar") == Approx(aim.midtarsal_inversion / range("midtarsal_inversion")));
      // Left as the joints have it, the oblique ankle axis carries the toes medially.
      stance::Aim plain;
      plain.ankle = aim.ankle;
      CHECK(pointed(foot, *linkage, plain).tip.y() > 10);
    }
  }
}

TEST_CASE("ankle over the toe, or as far as she points") {
  foot::Foot foot = *stance::test::sample_foot();
  const auto linkage = stance::foot_linkage(foot, {}, geometry::Mat3::Identity());
  REQUIRE(linkage);
  const double ankle = stance::ankle_over_toe(foot, *linkage, {});
  CHECK(pointed(foot, *linkage, stance::lined_up(foot, *linkage, {}, ankle)).tip.x() == Approx(0).margin(1e-4));
  foot.plantarflexion_deg = 55;
  const double all = stance::pointing_range(foot, {}).ankle;
  REQUIRE(all < ankle);
  CHECK(stance::ankle_over_toe(foot, *linkage, {}) == Approx(all));
}
