// Grows the foot: shape, unloading, toe posture, then everything that hangs on the skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/build.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/foot/loading.h"
#include "aplomb/foot/measure.h"
#include "posture.h"
#include "shape_fields.h"

namespace aplomb::foot {

namespace {

/// Least tissue left over a bone, mm: skin alone is about 2, over a nail or a tendon less.
constexpr double least_tissue_mm = 0.8;
/// The heel pad springs back by this when nothing stands on it: 16 mm unloaded (in vivo, s12891-022-05197-w), 13 in the
/// standing tables.
constexpr double heel_pad_relief_mm = 3.0;

/// Share of the heel pad's relief at a point of the template: full in the middle of the pad, none past its rim.
double heel_pad_share(const Vec3& x) {
  const double rim = std::hypot((x.x() - 26) / 24, x.y() / 20);
  return (1 - smooth_step(rim / 1.2)) * (1 - smooth_step((x.z() - 1) / 12));
}

void grow_contact_points(const ShapeModel& model, Foot& foot) {
  const auto face_area = [](const Skin& skin, const std::array<int, 3>& f) {
    return (skin.vertices_F[f[1]] - skin.vertices_F[f[0]]).cross(skin.vertices_F[f[2]] - skin.vertices_F[f[0]]).norm() /
           2;
  };
  const auto tissue = [](const Skin& skin, const std::array<int, 3>& f, const Vec3& b) {
    return b[0] * skin.thickness_mm[f[0]] + b[1] * skin.thickness_mm[f[1]] + b[2] * skin.thickness_mm[f[2]];
  };
  for (ContactPoint& point : foot.contact_points) {
    const auto& face = foot.skin.faces[point.face];
    point.area_mm2 *= face_area(foot.skin, face) / face_area(model.mean.skin, face);
    point.thickness_mm *= tissue(foot.skin, face, point.barycentric) / tissue(model.mean.skin, face, point.barycentric);
  }
}

/// The joints of a toe flex about axes square to it: they turn with the toe in plan.
void turn_toe_axes(const Foot& mean, const Sites& sites, const Body& body, Foot& foot) {
  for (int toe = 0; toe < toe_count; ++toe) {
    const int root = sites.mtp[toe], tip = sites.toe_tip[toe];
    const Vec3 was = mean.skin.vertices_F[tip] - mean.joints[root].centre_F,
               is = body.skin.col(tip) - body.joints.col(root);
    const Eigen::AngleAxisd turn(std::atan2(is.y(), is.x()) - std::atan2(was.y(), was.x()), Vec3::UnitZ());
    for (JointAxis& joint : foot.joints)
      if (joint.bone == proximal0 + toe || joint.bone == distal0 + toe || (toe > 0 && joint.bone == middle1 + toe - 1))
        joint.axis_F = (turn * joint.axis_F).normalized();
  }
}

/// Her pointing range against the template's: every joint of the sagittal chain takes its share.
void scale_pointing_range(Foot& foot, double plantarflexion_deg) {
  const auto chain = [](const JointAxis& joint) {
    return joint.name == "ankle" || joint.name == "midtarsal" || joint.name == "naviculocuneiform" ||
           (joint.name.starts_with("TMT") && !joint.name.ends_with("_splay"));
  };
  double total = 0;
  for (const JointAxis& joint : foot.joints)
    if (joint.name == "ankle" || joint.name == "midtarsal" || joint.name == "naviculocuneiform" || joint.name == "TMT2")
      total += joint.max_deg;
  if (total <= 0) return;
  for (JointAxis& joint : foot.joints)
    if (chain(joint)) joint.max_deg *= plantarflexion_deg / total;
}

/// Everything that hangs on the skin, at `shape`; the heel pad springs back by `relief_mm`.
Foot grown(const ShapeModel& model, const Build& build, const Shape& shape, double relief_mm) {
  Foot foot = model.mean;
  const double scale = std::exp(shape[0]);
  const Body body = body_at(model, shape);
  for (std::size_t v = 0; v < foot.skin.vertices_F.size(); ++v) {
    const auto column = static_cast<Eigen::Index>(v);
    const double relief = relief_mm * heel_pad_share(model.mean.skin.vertices_F[v]);
    foot.skin.vertices_F[v] = body.skin.col(column) - scale * relief * Vec3::UnitZ();
    const double tissue = model.mean.skin.thickness_mm[v] + model.thickness.row(column).dot(shape) + relief;
    foot.skin.thickness_mm[v] = scale * std::max(tissue, least_tissue_mm);
  }
  for (std::size_t j = 0; j < foot.joints.size(); ++j)
    foot.joints[j].centre_F = body.joints.col(static_cast<Eigen::Index>(j));
  const Sites sites = find_sites(model.mean);
  turn_toe_axes(model.mean, sites, body, foot);
  Eigen::Index row = 0;
  for (auto& [name, landmark] : foot.landmarks) landmark.position_F = body.landmarks.col(row++);

  scale_pointing_range(foot, build.plantarflexion_deg);
  foot.plantarflexion_deg = build.plantarflexion_deg;
  bend_toes(foot, build.bend_deg, build.lift_mm);
  grow_contact_points(model, foot);

  const auto sizes = measure(sites, body_at(model, build.shape));
  foot.length_mm = sizes[foot_length].value;
  foot.breadth_mm = sizes[foot_breadth].value;
  foot.shape.assign(build.shape.data(), build.shape.data() + shape_count);
  return foot;
}

}  // namespace

Shape unloaded_shape(const ShapeModel& model, const Build& build) {
  const Body standing = body_at(model, build.shape);
  const auto sizes = measure(find_sites(model.mean), standing);
  Numbers numbers;
  for (int i = 0; i < dimension_count; ++i) numbers[i] = sizes[i].value;
  Numbers unloaded = from_standing(numbers, Load::none);
  if (build.breadth_relaxed_mm) unloaded[foot_breadth] = build.breadth_relaxed_mm;
  // Each parameter moves its own dimension by one mm at the template's size; the length leaves through the arch, behind
  // the ball, as it grew.
  Shape shape = build.shape;
  const double scale = std::exp(shape[0]);
  for (const int number :
       {int{ball_length}, int{foot_breadth}, int{heel_breadth}, int{arch_height}, int{instep_height}})
    shape[number] += (*unloaded[number] - *numbers[number]) / scale;
  return shape;
}

Foot build_foot(const ShapeModel& model, const Build& build) {
  return grown(model, build, unloaded_shape(model, build), heel_pad_relief_mm);
}

Foot standing_foot(const ShapeModel& model, const Build& build) { return grown(model, build, build.shape, 0); }

}  // namespace aplomb::foot
