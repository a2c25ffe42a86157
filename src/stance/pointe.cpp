// Builds full pointe from foot and shoe, and finds a start from which the foot can slide in.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pointe.h"

#include <algorithm>
#include <cmath>

#include "aplomb/contact/skin.h"
#include "foot_linkage.h"
#include "layers.h"

namespace aplomb::stance {

using contact::Problem;
using foot::Region;
using geometry::Mat3;
using geometry::rad_per_deg;
using geometry::Vec2;
using geometry::Vec3;
using U = FootUnknowns;

namespace {

bool is_toe(Region region) { return static_cast<int>(region) < foot::toe_count; }

/// Skin that can come near the box: everything forward of the middle of the foot.
bool may_meet_box(const foot::ContactPoint& point, const Vec3& rest, double length_mm) {
  return point.region != Region::ankle && point.region != Region::heel && rest.x() > 0.4 * length_mm;
}

/// Sole skin that can lie on the shank: it looks down when standing, behind the toes.
bool may_meet_shank(const foot::ContactPoint& point, const Vec3& normal_rest) {
  return !is_toe(point.region) && point.region != Region::ankle && point.region != Region::dorsum &&
         normal_rest.z() < -0.25;
}

contact::Rod shank_rod(const shoe::ShankSpec& spec) {
  contact::Rod rod;
  rod.start_xz = spec.start_xz;
  rod.start_angle = spec.start_angle_rad;
  rod.length_mm = spec.element_length_mm;
  rod.EI_Nmm2 = spec.EI_Nmm2;
  rod.rest_curvature = spec.kappa0_per_mm;
  rod.half_breadth_mm = spec.half_breadth_mm;
  rod.first_dof = U::count;
  return rod;
}

/// Where ribbon and elastic cross the front of the ankle: the skin farthest from the ankle centre up the instep.
Vec3 front_of_ankle(const foot::Foot& foot) {
  const Vec3 centre = foot.landmarks.at("ankle_centre").position_F;
  const Vec3 up_the_instep = Vec3(1, 0, 1).normalized();
  double farthest = 0;
  for (const Vec3& x : foot.skin.vertices_F) {
    const Vec3 d = x - centre;
    const double along = up_the_instep.dot(d);
    if ((d - along * up_the_instep).norm() < 8) farthest = std::max(farthest, along);
  }
  return centre + farthest * up_the_instep;
}

/// The upper as two bands: throat - heel - rear end of the sole, drawn by the drawstring; and ribbon with elastic, from
/// where they are sewn to the sides of the sole over the front of the ankle. The second is what lays the shank against
/// the arch (common practice, no source: sewn where the heel, folded forward, meets the sides).
std::vector<contact::Band> upper_bands(const foot::Foot& foot, const shoe::Shoe& shoe, const contact::Rod& rod) {
  using On = contact::BandPoint::On;
  const foot::Landmark& heel = foot.landmarks.at("heel_back");
  contact::Band drawn{"drawstring",
                      {{On::world, 0, shoe.upper.throat_S},
                       {On::link, heel.bone, heel.position_F},
                       {On::rod, rod.element_count(), Vec3::Zero()}},
                      shoe.upper.drawstring_N,
                      shoe.upper.stiffness_N_per_mm,
                      shoe.upper.slack_mm};
  int node = rod.element_count();
  for (double from_heel = 0; node > 1 && from_heel < shoe.upper.ribbon_from_heel_mm; --node)
    from_heel += rod.length_mm[node - 1];
  contact::Band ribbon{
      "ribbon", {{On::rod, node, Vec3::Zero()}, {On::link, foot::talus, front_of_ankle(foot)}}, shoe.upper.elastic_N};
  return {std::move(drawn), std::move(ribbon)};
}

}  // namespace

io::Result<Problem> pointe_problem(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                                   double load_N) {
  const Constants& constants = options.constants;
  // + dorsal is a turn about +y, + medial a turn about -x.
  const Mat3 tibia = (Eigen::AngleAxisd(options.tibia_forward_deg * rad_per_deg, Vec3::UnitY()) *
                      Eigen::AngleAxisd(-options.tibia_medial_deg * rad_per_deg, Vec3::UnitX()))
                         .toRotationMatrix();
  auto linkage = foot_linkage(foot, constants, tibia);
  if (!linkage) return tl::unexpected(linkage.error());
  Problem problem;
  problem.linkage = std::move(*linkage);
  problem.rod = shank_rod(shoe.shank);
  problem.dof_count = U::count + problem.rod->element_count();
  problem.dof_is_length.assign(static_cast<std::size_t>(problem.dof_count), false);
  for (int k = 0; k < 3; ++k) problem.dof_is_length[static_cast<std::size_t>(U::slide_x + k)] = true;

  problem.points = skin_points(foot, constants);
  contact::SurfaceContact box;
  box.surface = &shoe.box;
  box.friction = options.friction.value_or(shoe.parameters.lining_friction);
  std::array<std::vector<int>, foot::toe_count> lateral, medial;
  for (std::size_t i = 0; i < problem.points.size(); ++i) {
    const foot::ContactPoint& at = foot.contact_points[i];
    const contact::SkinPoint& point = problem.points[i];
    const int index = static_cast<int>(i);
    if (may_meet_box(at, point.position_rest, foot.length_mm)) box.points.push_back(index);
    if (may_meet_shank(at, point.normal_rest)) problem.rod_contact.points.push_back(index);
    if (!is_toe(at.region)) continue;
    if (point.normal_rest.y() < -0.3) lateral[static_cast<std::size_t>(at.region)].push_back(index);
    if (point.normal_rest.y() > 0.3) medial[static_cast<std::size_t>(at.region)].push_back(index);
  }
  if (!options.rigid_wall) {
    box.give = contact::Give{&shoe.wall, shoe.wall_stiffness_N_per_mm, problem.dof_count};
    problem.dof_count += box.give->count();
    problem.dof_is_length.resize(static_cast<std::size_t>(problem.dof_count), true);
  }
  problem.surfaces.push_back(std::move(box));
  for (std::size_t k = 0; k + 1 < foot::toe_count; ++k) problem.pairs.push_back({lateral[k], medial[k + 1], {}});
  lay_on(problem, foot, shoe.parameters.layers);

  problem.bands = upper_bands(foot, shoe, *problem.rod);
  problem.locked = {U::tilt_x, U::tilt_y};
  problem.load = {foot::tibia, foot.landmarks.at("ankle_centre").position_F, Vec3(0, 0, -load_N)};
  problem.load_N = load_N;
  return problem;
}

void aim_foot(Problem& problem, const foot::Foot& foot, const Constants& constants, const Aim& aim,
              const Balance& balance) {
  problem.springs = pointe_springs(foot, constants, aim);
  problem.steering.clear();
  auto spring_of = [&](int dof) {
    return static_cast<int>(std::find_if(problem.springs.begin(), problem.springs.end(),
                                         [dof](const contact::JointSpring& s) { return s.dof == dof; }) -
                            problem.springs.begin());
  };
  if (balance.fore_aft) {
    contact::Steering steer{spring_of(U::ankle), U::tilt_y, Vec3::UnitX(), 1, 0};
    steer.min = -10 * rad_per_deg;
    steer.max = pointing_range(foot, constants).ankle;
    problem.steering.push_back(steer);
  }
  if (balance.frontal) {
    // A turn about +x is a turn about y x z: against z x y.
    contact::Steering steer{spring_of(U::subtalar), U::tilt_x, Vec3::UnitY(), -1, 0};
    steer.min = aim.subtalar - balance.steer;
    steer.max = aim.subtalar + balance.steer;
    problem.steering.push_back(steer);
  }
}

Eigen::VectorXd pointe_start(const Problem& problem, const foot::Foot& foot, const shoe::Shoe& shoe,
                             const Constants& constants, const Aim& aim) {
  Eigen::VectorXd q = pointed_posture(foot, constants, aim, problem.dof_count);

  // Turn the ankle so that the toes point straight down the box; she comes to her own command as she settles.
  auto toe_direction = [&] {
    const auto T = contact::pose(problem.linkage, q).T_world_link;
    const Vec3 tip = T[foot::distal1] * foot.landmarks.at("bonetip2").position_F;
    const foot::JointAxis& mtp = foot.joints[static_cast<std::size_t>(foot::joint_index(foot, "MTP2"))];
    const Vec3 d = tip - T[foot::ray1] * mtp.centre_F;
    return std::atan2(d.x(), -d.z());  // + when the tip lies dorsal of straight down
  };
  const double box_lean = std::tan(shoe.parameters.platform_tilt_deg * rad_per_deg);
  q[U::ankle] += toe_direction() + box_lean;

  // Over the middle of the box: forefoot centre on its axis, both ways.
  contact::SkinKinematics skin(problem);
  skin.pose(q);
  const auto T = skin.linkage().T_world_link;
  Vec3 heads = Vec3::Zero();
  for (int k = 0; k < foot::toe_count; ++k) {
    const foot::JointAxis& mtp =
        foot.joints[static_cast<std::size_t>(foot::joint_index(foot, "MTP" + std::to_string(k + 1)))];
    heads += T[static_cast<std::size_t>(foot::ray0 + k)] * mtp.centre_F / foot::toe_count;
  }
  double lowest = 1e9;
  for (int i : problem.surfaces[0].points) lowest = std::min(lowest, skin.position(i).z());
  const double floor = shoe.box.platform_z();
  const double ball_z = floor + shoe.parameters.ball_height_mm;
  q[U::slide_x] = box_lean * ball_z - heads.x();
  q[U::slide_y] = -heads.y();
  q[U::slide_z] = floor - lowest;

  // Raise the foot until no skin is pressed past a third of its thickness.
  const double down = q[U::slide_z];
  geometry::SurfaceSample sample;
  auto pressed = [&] {
    skin.pose(q);
    skin.pose_normals();
    for (int i : problem.surfaces[0].points) {
      if (!shoe.box.sample(skin.position(i), 1.0, sample) || sample.cover <= 0) continue;
      if (skin.normal(i).dot(sample.normal) >= 0) continue;
      if (contact::thickness_mm(problem.points[static_cast<std::size_t>(i)].over) - sample.gap_mm >
          problem.points[static_cast<std::size_t>(i)].layer.thickness_mm / 3)
        return true;
    }
    return false;
  };
  for (double lift = 0; lift <= 150; lift += 2) {
    q[U::slide_z] = down + lift;
    if (!pressed()) break;
  }

  // Bend the shank away until it clears the sole everywhere.
  const contact::Rod& rod = *problem.rod;
  skin.pose(q);
  for (double bend = 0; bend <= 2.4; bend += 0.1) {
    const int n = rod.element_count();
    for (int j = 0; j < n; ++j) q[rod.first_dof + j] = rod.start_angle - bend * std::min(1.0, 3.0 * (j + 1) / n);
    const contact::PosedRod posed = contact::pose(rod, q);
    bool clear = true;
    for (int i : problem.rod_contact.points) {
      const auto s = contact::sample(rod, posed, skin.position(i), 1.0, 60.0, false);
      if (s && s->gap_mm < -0.5) {
        clear = false;
        break;
      }
    }
    if (clear) break;
  }
  return q;
}

}  // namespace aplomb::stance
