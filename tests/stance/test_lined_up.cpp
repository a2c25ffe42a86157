// The foot lined up with the leg: where second toe and ball come to lie, and the ankle over the toe.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "aplomb/foot/pose.h"
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

TEST_CASE("the solver's linkage and the pictures' skeleton bend the skin alike") {
  foot::Foot foot = *stance::test::sample_foot();
  foot.bulge.fill(1.7);
  const auto linkage = stance::foot_linkage(foot, {}, geometry::Mat3::Identity());
  REQUIRE(linkage);
  Eigen::VectorXd unknowns(U::count);
  for (int i = 0; i < U::count; ++i) unknowns[i] = 0.5 * std::sin(1.3 * i + 1);  // no two alike
  const auto T_linkage = contact::pose(*linkage, unknowns).T_world_link;
  // Each joint's angle as the linkage has it: tied joints and the toes' rest included.
  foot::JointAngles q;
  for (const foot::JointAxis& joint : foot.joints) {
    const auto& axes = linkage->links[joint.bone].axes;
    const auto same = std::find_if(axes.begin(), axes.end(), [&](const contact::LinkageAxis& axis) {
      return axis.axis.isApprox(joint.axis_F) && axis.centre.isApprox(joint.centre_F);
    });
    REQUIRE(same != axes.end());
    q.push_back(same->offset + same->ratio * unknowns[same->dof]);
  }
  const auto T_skeleton = foot::pose_bones(foot, q);
  const geometry::Isometry T_world_F = T_linkage[foot::tibia] * T_skeleton[foot::tibia].inverse();
  for (int bone = 0; bone < foot::bone_count; ++bone) {
    CAPTURE(foot::bone_names[bone]);
    CHECK((T_linkage[bone].matrix() - (T_world_F * T_skeleton[bone]).matrix()).cwiseAbs().maxCoeff() < 1e-9);
  }
}
