// Builds demi-pointe from foot and shoe.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "rise.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "aplomb/contact/skin.h"
#include "falling.h"
#include "flat.h"
#include "shoe_problem.h"

namespace aplomb::stance {

using contact::Problem;
using geometry::rad_per_deg;
using geometry::Vec3;
using U = FootUnknowns;

namespace {

const foot::JointAxis& joint(const foot::Foot& foot, const std::string& name) {
  return foot.joints[static_cast<std::size_t>(foot::joint_index(foot, name))];
}

/// Sole and vamp bend at the ball more easily than the shank does behind it.
void add_ball_hinge(contact::Rod& rod, const Constants& constants) {
  const double EI_Nmm2 = 1000 * constants.ball_hinge_Nm * constants.ball_hinge_mm;
  double from_box = 0;
  for (std::size_t e = 0; e < rod.length_mm.size() && from_box < constants.ball_hinge_mm; ++e) {
    rod.EI_Nmm2[e] = std::min(rod.EI_Nmm2[e], EI_Nmm2);
    from_box += rod.length_mm[e];
  }
}

/// On the ball the arch stands as when standing.
Eigen::VectorXd risen_posture(const foot::Foot& foot, const Constants& constants, const Aim& aim, int dof_count) {
  Eigen::VectorXd q = pointed_posture(foot, constants, aim, dof_count);
  q[U::midtarsal] = 0;
  for (int k = 0; k < foot::toe_count; ++k) q[U::ray_flexion + k] = 0;
  return q;
}

/// Cloth that is sewn to the rear end of the sole and goes up behind the heel: it lets the heel lie over that end, and
/// stretches where the heel would leave it.
contact::Band heel_cup(const foot::Foot& foot, const shoe::Shoe& shoe, const contact::Rod& rod) {
  using On = contact::BandPoint::On;
  const foot::Landmark& heel = foot.landmarks.at("heel_back");
  return {"heel cup",
          {{On::link, heel.bone, heel.position_F}, {On::rod, rod.element_count(), Vec3::Zero()}},
          0,
          shoe.upper.stiffness_N_per_mm,
          heel.position_F.z()};
}

/// Talocrural flexion at which the ankle stands over the second toe joint, or all she has.
double ankle_over_ball(const contact::Linkage& linkage, const foot::Foot& foot, const Constants& constants,
                       const Ground& ground, Aim aim, int dof_count) {
  const foot::JointAxis& mtp = joint(foot, "MTP2");
  const Vec3 centre = foot.landmarks.at("ankle_centre").position_F;
  return falls_to_zero(
      [&](double ankle) {
        aim.ankle = ankle;
        const auto T = contact::pose(linkage, risen_posture(foot, constants, aim, dof_count)).T_world_link;
        return ground.forward_S().dot(T[foot::ray1] * mtp.centre_F - T[foot::tibia] * centre);
      },
      0, pointing_range(foot, constants).ankle);
}

}  // namespace

io::Result<Rise> rise(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options, double load_N,
                      const Ground& ground, int steps_up, int steps_down) {
  const Constants& constants = options.constants;
  // She stands flat first, the line of force where it is then; so the sole and what is under it are those of
  // flat_problem.
  auto built = flat_problem(foot, shoe, options, load_N, ground);
  if (!built) return tl::unexpected(built.error());
  Problem& problem = *built;
  add_ball_hinge(*problem.rod, constants);
  // As the heel leaves its seat the drawstring is what takes the shoe along.
  std::vector<contact::Band> bands = upper_bands(foot, shoe, *problem.rod);
  bands.push_back(heel_cup(foot, shoe, *problem.rod));
  for (contact::Band& band : problem.bands)
    if (band.name.starts_with("plantar")) bands.push_back(std::move(band));
  problem.bands = std::move(bands);
  // The vamp bends with the sole; the instep rises past it and does not touch the box.
  const double instep_x = joint(foot, "MTP2").centre_F.x() - instep_behind_ball * foot.length_mm;
  std::erase_if(problem.surfaces[0].points, [&](int i) {
    const contact::SkinPoint& point = problem.points[static_cast<std::size_t>(i)];
    return point.normal_rest.z() > 0 && point.position_rest.x() < instep_x;
  });

  const Pointing range = pointing_range(foot, constants);
  Aim aim = lined_up(foot, problem.linkage, constants, 0.6 * range.ankle);
  aim.ankle = options.ankle_command_deg
                  ? *options.ankle_command_deg * rad_per_deg
                  : ankle_over_ball(problem.linkage, foot, constants, ground, aim, problem.dof_count);
  problem.springs[static_cast<std::size_t>(spring_index(problem, U::ankle))].max = range.ankle;
  problem.steering.front().max = range.ankle;
  for (int k = 1; k <= steps_up; ++k) problem.further_aims.push_back({static_cast<double>(k) / steps_up, {aim.ankle}});
  for (int k = 1; k <= steps_down; ++k)
    problem.further_aims.push_back({1 - static_cast<double>(k) / steps_down, {aim.ankle}});
  return Rise{std::move(problem), aim};
}

}  // namespace aplomb::stance
