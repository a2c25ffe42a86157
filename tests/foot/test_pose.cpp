// Forward kinematics, skinning, and toes that do not lie straight.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/build.h"
#include "aplomb/foot/pose.h"
#include "aplomb/geometry/exact.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::foot;
using Catch::Detail::Approx;
using geometry::rad_per_deg;
using testing::model;

namespace {

const Foot& mean() { return model().mean; }

Vec3 posed_point(const Foot& foot, const JointAngles& q, int bone, const Vec3& x) {
  return pose_bones(foot, q)[bone] * x;
}

}  // namespace

TEST_CASE("pose: at zero nothing moves", "[pose]") {
  const auto T = pose_bones(mean(), JointAngles(mean().joints.size(), 0.0));
  for (const auto& bone : T) CHECK(bone.isApprox(Isometry::Identity(), 1e-15));
  const auto skin = pose_skin(mean().skin, T);
  for (std::size_t v = 0; v < skin.size(); v += 97) CHECK((skin[v] - mean().skin.vertices_F[v]).norm() < 1e-10);
}

TEST_CASE("pose: one joint turns all below it about its axis by the right hand", "[pose]") {
  const auto& ankle = mean().joints[static_cast<std::size_t>(joint_index(mean(), "ankle"))];
  const auto q = angles_by_name(mean(), {{"ankle", 30}});
  const Vec3 tip = mean().landmarks.at("bonetip2").position_F, arm = tip - ankle.centre_F;
  // Rodrigues' formula.
  const double c = std::cos(30 * rad_per_deg), s = std::sin(30 * rad_per_deg);
  const Vec3 expected =
      ankle.centre_F + arm * c + ankle.axis_F.cross(arm) * s + ankle.axis_F * ankle.axis_F.dot(arm) * (1 - c);
  CHECK((posed_point(mean(), q, distal1, tip) - expected).norm() < 1e-10);
  CHECK(posed_point(mean(), q, distal1, tip).z() < tip.z() - 50);  // plantar flexion is positive: toes go down
  CHECK(posed_point(mean(), q, tibia, tip) == tip);
}

TEST_CASE("pose: two axes of one bone apply outermost first", "[pose]") {
  const auto& flexion = mean().joints[static_cast<std::size_t>(joint_index(mean(), "MTP2"))];
  const auto& splay = mean().joints[static_cast<std::size_t>(joint_index(mean(), "MTP2_splay"))];
  const auto q = angles_by_name(mean(), {{"MTP2", 20}, {"MTP2_splay", 10}});
  const Vec3 x = mean().landmarks.at("bonetip2").position_F;
  const Vec3 splayed = splay.centre_F + Eigen::AngleAxisd(10 * rad_per_deg, splay.axis_F) * (x - splay.centre_F);
  const Vec3 expected =
      flexion.centre_F + Eigen::AngleAxisd(20 * rad_per_deg, flexion.axis_F) * (splayed - flexion.centre_F);
  CHECK((posed_point(mean(), q, distal1, x) - expected).norm() < 1e-10);
  CHECK(posed_point(mean(), angles_by_name(mean(), {{"MTP2_splay", 10}}), distal1, x).y() >
        x.y());  // splay + is medial
}

TEST_CASE("pose: pointed toes lie in line with their metatarsals", "[pose]") {
  const auto marks = pose_landmarks(mean(), pose_bones(mean(), pointed(mean())));
  for (int toe = 1; toe <= toe_count; ++toe) {
    const std::string n = std::to_string(toe);
    const Vec3 mtp = marks.at("MTP" + n), pip = marks.at((toe == 1 ? "IP" : "PIP") + n), tip = marks.at("bonetip" + n);
    const double bend = std::acos((pip - mtp).normalized().dot((tip - pip).normalized())) / rad_per_deg;
    CHECK(bend < 4);
    CHECK(tip.z() < marks.at("ankle_centre").z() - 100);
  }
}

TEST_CASE("pose: a known plantar shortening on pointing", "[pose]") {
  // The anatomy tables' own figure: midline 252.1 standing, 228.8 pointed (midfoot 25 deg, toes straight) = 9.3 %.
  auto q = pointed(mean());
  q[static_cast<std::size_t>(joint_index(mean(), "ankle"))] = 0;
  const auto length_of = [&](const std::vector<Vec3>& skin) {
    double sum = 0;
    Vec3 before = Vec3::Zero();
    for (std::size_t i = 0; i < mean().plantar_midline.size(); ++i) {
      const auto& p = mean().plantar_midline[i];
      const auto& f = mean().skin.faces[p.face];
      const Vec3 x = p.barycentric[0] * skin[f[0]] + p.barycentric[1] * skin[f[1]] + p.barycentric[2] * skin[f[2]];
      if (i > 0) sum += (x - before).norm();
      before = x;
    }
    return sum;
  };
  const double standing = length_of(mean().skin.vertices_F),
               pointing = length_of(pose_skin(mean().skin, pose_bones(mean(), q)));
  CHECK((1 - pointing / standing) == Approx(0.093).margin(0.03));
}

TEST_CASE("posture: a bent toe bends where it says, stands on its pad, and counts from there", "[pose]") {
  Build straight, bent;
  bent.bend_deg[1] = 35;
  bent.lift_mm[3] = 6;
  const Foot a = build_foot(model(), straight), b = build_foot(model(), bent);
  const auto mark = [](const Foot& foot, const std::string& name) { return foot.landmarks.at(name).position_F; };
  const auto centre = [](const Foot& foot, const std::string& name) {
    return foot.joints[static_cast<std::size_t>(joint_index(foot, name))].centre_F;
  };
  // Turn of the middle against the proximal phalanx, by their directions.
  const auto turn = [&](const Foot& foot) {
    const Vec3 proximal = centre(foot, "PIP2") - centre(foot, "MTP2"),
               middle = centre(foot, "DIP2") - centre(foot, "PIP2");
    return std::acos(proximal.normalized().dot(middle.normalized())) / rad_per_deg;
  };
  CHECK(turn(b) - turn(a) == Approx(35).margin(0.01));
  // Its last part touches the floor as before; a lifted one stands that high above it.
  const auto lowest = [](const Foot& foot, int toe) {
    const std::string n = std::to_string(toe + 1);
    const Vec3 knuckle = foot.joints[static_cast<std::size_t>(joint_index(foot, "PIP" + n))].centre_F;
    const Vec3 along = foot.landmarks.at("bonetip" + n).position_F - knuckle;
    double low = 1e9;
    for (std::size_t v = 0; v < foot.skin.vertices_F.size(); ++v)
      if (foot.skin.region[v] == static_cast<Region>(toe) && along.dot(foot.skin.vertices_F[v] - knuckle) > 0)
        low = std::min(low, foot.skin.vertices_F[v].z());
    return low;
  };
  CHECK(lowest(b, 1) == Approx(lowest(a, 1)).margin(0.3));
  CHECK(lowest(b, 3) == Approx(6).margin(0.3));
  CHECK((mark(b, "bonetip3") - mark(a, "bonetip3")).norm() == 0);
  const auto joint = [](const Foot& foot, const std::string& name) {
    return foot.joints[static_cast<std::size_t>(joint_index(foot, name))];
  };
  CHECK(joint(b, "PIP2").straight_deg == Approx(joint(a, "PIP2").straight_deg - 35));
  // Straightening the bent toe gives the straight toe again.
  const Vec3 from_bent = pose_bones(b, pointed(b))[distal1] * mark(b, "bonetip2");
  const Vec3 from_straight = pose_bones(a, pointed(a))[distal1] * mark(a, "bonetip2");
  CHECK((from_bent - from_straight).norm() < 1e-6);
}
