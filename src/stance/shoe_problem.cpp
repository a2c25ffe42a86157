// What every position is made of: the foot as a linkage, its skin against box and sole, the shank, the upper.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shoe_problem.h"

#include <algorithm>
#include <cmath>

#include "foot_linkage.h"
#include "layers.h"

namespace aplomb::stance {

using contact::Problem;
using foot::Region;
using geometry::Mat3;
using geometry::rad_per_deg;
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

}  // namespace

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

namespace {

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

/// The cloth's stiffness as the passive part, with the string's pull in its rest; tight past slack and past what can be
/// drawn in.
contact::JointSpring vamp_spring(const shoe::VampSpec& vamp, int dof) {
  contact::JointSpring spring;
  spring.dof = dof;
  spring.name = "vamp";
  spring.passive_stiffness = vamp.loose_N_per_mm;
  spring.passive_rest = -vamp.drawstring_N / vamp.loose_N_per_mm;
  spring.min = -vamp.drawn_mm;
  spring.max = vamp.slack_mm;
  spring.limit_stiffness = vamp.tight_N_per_mm;
  return spring;
}

}  // namespace

// Ribbon and elastic go from where they are sewn to the sides of the sole over the front of the ankle. They are what
// lays the shank against the arch (common practice, no source: sewn where the heel, folded forward, meets the sides).
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

io::Result<Problem> shoe_problem(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                                 double load_N, const Ground& ground) {
  const Constants& constants = options.constants;
  // + dorsal is a turn about +y, + medial a turn about -x.
  const Mat3 room = ground.R_S_room();
  const Mat3 tibia = room * (Eigen::AngleAxisd(options.tibia_forward_deg * rad_per_deg, Vec3::UnitY()) *
                             Eigen::AngleAxisd(-options.tibia_medial_deg * rad_per_deg, Vec3::UnitX()))
                                .toRotationMatrix();
  auto linkage = foot_linkage(foot, constants, tibia, room);
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
    problem.springs.push_back(vamp_spring(shoe.vamp, box.give->first_dof + shoe::WallGive::vamp));
  }
  problem.surfaces.push_back(std::move(box));
  for (std::size_t k = 0; k + 1 < foot::toe_count; ++k) problem.pairs.push_back({lateral[k], medial[k + 1], {}});
  lay_on(problem, foot, shoe.parameters.layers);

  problem.bands = upper_bands(foot, shoe, *problem.rod);
  problem.locked = {U::tilt_x, U::tilt_y};
  problem.load = {foot::tibia, foot.landmarks.at("ankle_centre").position_F, -load_N * ground.up_S()};
  problem.load_N = load_N;
  return problem;
}

bool pressed_past(double share, const Problem& problem, const contact::SkinKinematics& skin) {
  const geometry::Surface& box = *problem.surfaces[0].surface;
  geometry::SurfaceSample sample;
  for (const int i : problem.surfaces[0].points) {
    const contact::SkinPoint& point = problem.points[static_cast<std::size_t>(i)];
    const double least_mm = contact::thickness_mm(point.over) - share * point.layer.thickness_mm;
    if (box.gap_at_least(skin.position(i)) >= least_mm) continue;
    if (!box.sample(skin.position(i), 1.0, sample) || sample.cover <= 0) continue;
    if (sample.gap_mm < least_mm && skin.normal_now(i).dot(sample.normal) < 0) return true;
  }
  return false;
}

void lie_on_floor(Problem& problem, const foot::Foot& foot, const Constants& constants, const Ground& ground) {
  constexpr double seam_fade_mm = 3;  // the sole begins as the box fades out (BoxSurface::fade_mm)
  contact::Rod& rod = *problem.rod;
  rod.fade_in_mm = seam_fade_mm;
  contact::RodFloor floor{Vec3(rod.start_xz.x(), 0, rod.start_xz.y()), ground.up_S(), {}};
  for (int k = 0; k < rod.element_count(); ++k)
    floor.stiffness_N_per_mm.push_back(constants.sole_N_per_mm3 * 2 *
                                       rod.half_breadth_mm[static_cast<std::size_t>(k) + 1] *
                                       rod.length_mm[static_cast<std::size_t>(k)]);
  problem.rod_floor = std::move(floor);
  problem.rod_contact.points.clear();
  for (std::size_t i = 0; i < problem.points.size(); ++i) {
    const Region region = foot.contact_points[i].region;
    if (region != Region::ankle && region != Region::dorsum && problem.points[i].normal_rest.z() < -0.25)
      problem.rod_contact.points.push_back(static_cast<int>(i));
  }
}

void set_joint_springs(Problem& problem, std::vector<contact::JointSpring> joints) {
  const auto gives = std::find_if(problem.springs.begin(), problem.springs.end(),
                                  [](const contact::JointSpring& s) { return s.dof >= U::count; });
  joints.insert(joints.end(), gives, problem.springs.end());
  problem.springs = std::move(joints);
}

int spring_index(const Problem& problem, int dof) {
  const auto spring = std::find_if(problem.springs.begin(), problem.springs.end(),
                                   [dof](const contact::JointSpring& s) { return s.dof == dof; });
  return static_cast<int>(spring - problem.springs.begin());
}

}  // namespace aplomb::stance
