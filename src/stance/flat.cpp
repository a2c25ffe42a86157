// Builds standing on the sole from foot and shoe.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "flat.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/contact/skin.h"
#include "foot_linkage.h"
#include "shoe_problem.h"

namespace aplomb::stance {

using contact::Band;
using contact::BandPoint;
using contact::JointSpring;
using contact::Problem;
using geometry::rad_per_deg;
using geometry::Vec3;
using U = FootUnknowns;
using On = BandPoint::On;

namespace {

constexpr double Nmm_per_Nm = 1000.0;

JointSpring& spring_of(std::vector<JointSpring>& springs, int dof) {
  return *std::find_if(springs.begin(), springs.end(), [dof](const JointSpring& s) { return s.dof == dof; });
}

const Vec3& joint_centre(const foot::Foot& foot, const std::string& name) {
  return foot.joints[static_cast<std::size_t>(foot::joint_index(foot, name))].centre_F;
}

/// Rear end of the sole as it lies flat.
Vec3 seat_rear(const shoe::Shoe& shoe, const Ground& ground) {
  double length = 0;
  for (double l : shoe.shank.element_length_mm) length += l;
  return Vec3(shoe.shank.start_xz.x(), 0, shoe.shank.start_xz.y()) - length * ground.forward_S();
}

/// The unloaded foot with its shin leant forward, heel and middle of the ball on the shoe's middle line.
Eigen::VectorXd flat_posture(const contact::Linkage& linkage, const foot::Foot& foot, double lean, int dof_count) {
  Eigen::VectorXd q = Eigen::VectorXd::Zero(dof_count);
  q[U::ankle] = -lean;
  for (int k = 0; k < foot::toe_count; ++k) {
    const auto joint = foot::joint_index(foot, fmt::format("{}{}", k == 0 ? "IP" : "PIP", k + 1));
    q[U::ip + k] = -foot.joints[static_cast<std::size_t>(joint)].straight_deg * rad_per_deg;
  }
  const foot::Landmark& heel = foot.landmarks.at("heel_back");
  const auto ball_beside = [&](double spin) {
    q[U::spin] = spin;
    const auto T = contact::pose(linkage, q).T_world_link;
    return (T[foot::ray0] * joint_centre(foot, "MTP1") + T[foot::ray4] * joint_centre(foot, "MTP5")).y() / 2 -
           (T[heel.bone] * heel.position_F).y();
  };
  double low = -0.5, high = 0.5;  // the ball goes medially as the leg turns in
  for (int step = 0; step < 40; ++step) {
    const double middle = (low + high) / 2;
    (ball_beside(middle) < 0 ? low : high) = middle;
  }
  q[U::spin] = high;
  return q;
}

/// Moves a posed foot so that its heel is `behind_mm` behind the seat and its sole on the insole.
void place(const Problem& problem, const foot::Foot& foot, const shoe::Shoe& shoe, const Ground& ground,
           double behind_mm, contact::SkinKinematics& skin, Eigen::VectorXd& q) {
  q.segment<3>(U::slide_x).setZero();
  skin.pose(q);
  const foot::Landmark& heel = foot.landmarks.at("heel_back");
  const Vec3 back = skin.link_position(heel.bone, heel.position_F);
  double lowest = 1e9;
  for (int i : problem.rod_contact.points) lowest = std::min(lowest, ground.up_S().dot(skin.position(i)));
  const Vec3 rear = seat_rear(shoe, ground), forward = ground.forward_S(), up = ground.up_S();
  q.segment<3>(U::slide_x) =
      (forward.dot(rear - back) - behind_mm) * forward - back.y() * Vec3::UnitY() + (up.dot(rear) - lowest) * up;
}

/// What keeps the heel in its seat. The drawstring lies round the foot, over instep and heel: it grips the foot and
/// moves it neither way. The cloth behind the heel stretches when the heel is pushed out of the seat; and she has set
/// her heel back with a few newtons.
std::vector<Band> heel_bands(const foot::Foot& foot, const shoe::Shoe& shoe, const Constants& constants,
                             const Ground& ground) {
  const foot::Landmark& heel = foot.landmarks.at("heel_back");
  const Vec3 rear = seat_rear(shoe, ground), at_seat = rear + heel.position_F.z() * ground.up_S();
  Band cloth{"back seam",
             {{On::world, 0, shoe.upper.throat_S}, {On::link, heel.bone, heel.position_F}, {On::world, 0, rear}},
             0,
             shoe.upper.stiffness_N_per_mm,
             0};
  // Where a heel set back with that force comes to lie is where the seat ends.
  cloth.slack_mm = (at_seat - shoe.upper.throat_S).norm() + (at_seat - rear).norm() -
                   constants.heel_set_back_N / shoe.upper.stiffness_N_per_mm;
  constexpr double far_mm = 1000;
  Band set_back{"set back",
                {{On::link, heel.bone, heel.position_F}, {On::world, 0, at_seat - far_mm * ground.forward_S()}},
                constants.heel_set_back_N};
  return {std::move(cloth), std::move(set_back)};
}

}  // namespace

std::vector<JointSpring> flat_springs(const foot::Foot& foot, const Constants& constants, double arch) {
  std::vector<JointSpring> springs = pointe_springs(foot, constants, Aim{});
  // The arch springs about the unloaded foot. Toes lie as they grew: nothing stands on their tips.
  spring_of(springs, U::midtarsal).passive_rest = -arch;
  for (int k = 0; k < foot::toe_count; ++k) {
    spring_of(springs, U::ray_flexion + k).passive_rest = -arch;
    for (const int dof : {U::mtp_flexion + k, U::ip + k}) {
      JointSpring& toe = spring_of(springs, dof);
      toe.tone_stiffness = 0;
      toe.tone_cap = 0;
    }
  }
  return springs;
}

std::vector<Band> plantar_bands(const foot::Foot& foot, const Constants& constants) {
  // Tubercle of the heel bone, from the bone mesh (meshes/anatomy/joints.csv, calc_plant) at 240 mm.
  const Vec3 tubercle = Vec3(22, 0, 13) * (foot.length_mm / 240);
  std::vector<Band> bands;
  for (int k = 0; k < foot::toe_count; ++k) {
    // Under the head of the ray, on to the first phalanx: a toe that is bent up winds it round the head.
    Vec3 head = joint_centre(foot, fmt::format("MTP{}", k + 1));
    head.z() *= 0.5;
    const Vec3 phalanx = head + Vec3(0.045 * foot.length_mm, 0, 0);
    Band band{fmt::format("plantar {}", k + 1),
              {{On::link, foot::hindfoot, tubercle},
               {On::link, foot::ray0 + k, head},
               {On::link, foot::proximal0 + k, phalanx}},
              0,
              constants.plantar_N_per_mm / foot::toe_count,
              (1 + constants.plantar_slack) * (head - tubercle).norm() + (phalanx - head).norm()};
    bands.push_back(std::move(band));
  }
  return bands;
}

io::Result<Problem> flat_problem(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                                 double load_N, const Ground& ground) {
  const Constants& constants = options.constants;
  auto built = shoe_problem(foot, shoe, options, load_N, ground);
  if (!built) return built;
  Problem& problem = *built;
  lie_on_floor(problem, foot, constants, ground);

  const bool plie = options.position == Position::demi_plie;
  set_joint_springs(problem, flat_springs(foot, constants, plie ? constants.plie_arch_deg * rad_per_deg : 0));
  spring_of(problem.springs, U::spin).passive_rest =
      flat_posture(problem.linkage, foot, options.tibia_forward_deg * rad_per_deg, problem.dof_count)[U::spin];
  JointSpring& ankle = spring_of(problem.springs, U::ankle);
  ankle.tone_target = -options.tibia_forward_deg * rad_per_deg;
  ankle.min = std::min(ankle.min, -(options.tibia_forward_deg + 5) * rad_per_deg);

  std::vector<Band> bands = heel_bands(foot, shoe, constants, ground);
  for (Band& band : plantar_bands(foot, constants)) bands.push_back(std::move(band));
  for (Band& band : problem.bands)
    if (band.name == "ribbon") bands.push_back(std::move(band));
  problem.bands = std::move(bands);

  // She stands over a place that is given: the ankle's aim is found so that the line of force passes there.
  const int spring = static_cast<int>(&ankle - problem.springs.data());
  contact::Steering steer{spring, U::tilt_y, ground.forward_S(), 1, 0};
  steer.at_mm = ground.forward_S().dot(seat_rear(shoe, ground)) + constants.flat_cop_share * foot.length_mm;
  steer.min = ankle.tone_target - 30 * rad_per_deg;
  steer.max = ankle.tone_target + 30 * rad_per_deg;
  problem.steering = {steer};
  return built;
}

Eigen::VectorXd flat_start(const Problem& problem, const foot::Foot& foot, const shoe::Shoe& shoe, const Ground& ground,
                           double lean_deg) {
  contact::SkinKinematics skin(problem);
  Eigen::VectorXd q = flat_posture(problem.linkage, foot, lean_deg * rad_per_deg, problem.dof_count);
  for (int j = 0; j < problem.rod->element_count(); ++j) q[problem.rod->first_dof + j] = problem.rod->start_angle;
  for (double behind = 0; behind <= 60; behind += 2) {
    place(problem, foot, shoe, ground, behind, skin, q);
    skin.pose(q);
    if (!pressed_past(1.0 / 2, problem, skin)) break;
  }
  return q;
}

}  // namespace aplomb::stance
