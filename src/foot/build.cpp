// Grows the foot: shape, unloading, toe posture, then everything that hangs on the skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/build.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "aplomb/foot/loading.h"
#include "aplomb/foot/measure.h"
#include "aplomb/foot/sizes.h"
#include "aplomb/foot/skin_offset.h"
#include "posture.h"
#include "shape_fields.h"

namespace aplomb::foot {

using geometry::rad_per_deg;

namespace {

/// Least tissue left over a bone, mm: skin alone is about 2, over a nail or a tendon less.
constexpr double least_tissue_mm = 0.8;
/// The heel pad springs back by this when nothing stands on it: 16 mm unloaded (in vivo, s12891-022-05197-w), 13 in the
/// standing tables.
constexpr double heel_pad_relief_mm = 3.0;

/// Station of the pad's middle on the template.
constexpr double heel_pad_x = 26;

/// Share of the heel pad's relief at a point of the template: full in the middle of the pad, none past its rim.
double heel_pad_share(const Vec3& x) {
  const double rim = std::hypot((x.x() - heel_pad_x) / 24, x.y() / 20);
  return (1 - smooth_step(rim / 1.2)) * (1 - smooth_step((x.z() - 1) / 12));
}

/// The most that a fold bulges against the template: beyond it the skin would fold through itself [guess].
constexpr double most_bulge_ankle = 2, most_bulge_arch = 2.5, most_bulge_toes = 6;

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

/// The joints of a fold at the end that squeezes it: ankle and midfoot pointed, toes up as on demi-pointe.
JointAngles folded(const Foot& foot, Fold fold) {
  JointAngles q(foot.joints.size(), 0.0);
  for (std::size_t j = 0; j < q.size(); ++j) {
    const JointAxis& joint = foot.joints[j];
    if (joint.name.ends_with("_splay") || joint.name.ends_with("_inversion")) continue;
    const bool at_fold = fold == Fold::ankle  ? joint.name == "ankle"
                         : fold == Fold::arch ? joint.bone >= midfoot && joint.bone <= ray4
                                              : joint.name.starts_with("MTP");
    if (at_fold) q[j] = (fold == Fold::toes ? joint.min_deg : joint.max_deg) * rad_per_deg;
  }
  return q;
}

double volume_mm3(const Skin& skin, const std::vector<Vec3>& vertices) {
  double six = 0;
  for (const auto& [a, b, c] : skin.faces) six += vertices[a].dot(vertices[b].cross(vertices[c]));
  return six / 6;
}

/// Flesh gives way, it does not vanish: sets how far the skin bulges at each fold so that bending it to its end keeps
/// the foot's volume, as far as skin and flesh can go.
void keep_volume(Foot& foot) {
  const double standing = volume_mm3(foot.skin, foot.skin.vertices_F);
  for (const auto& [fold, most] : {std::pair{Fold::ankle, most_bulge_ankle}, std::pair{Fold::arch, most_bulge_arch},
                                   std::pair{Fold::toes, most_bulge_toes}}) {
    const JointAngles q = folded(foot, fold);
    double& bulge = foot.bulge[static_cast<int>(fold)];
    const auto gain = [&](double at) {
      bulge = at;
      return volume_mm3(foot.skin, pose_skin(foot.skin, pose_bones(foot, q))) - standing;
    };
    // Nearly linear: the chord between nothing and the template's bulge.
    const double without = gain(0), with = gain(1);
    bulge = with > without ? std::clamp(without / (without - with), 0.0, most) : 1;
  }
}

/// A foot that a hand narrows easily has rays that turn far: their ranges go with what the hand takes.
void scale_splay_range(Foot& foot, double share) {
  for (JointAxis& joint : foot.joints) {
    if (!joint.name.starts_with("TMT") || !joint.name.ends_with("_splay")) continue;
    joint.min_deg *= std::max(0.0, share);
    joint.max_deg *= std::max(0.0, share);
  }
}

/// The foot at `shape` with straight toes: skin and its tissue, joints, landmarks.
Foot grown(const ShapeModel& model, const Shape& shape, const std::vector<double>& offset_mm, Load load) {
  Foot foot = model.mean;
  const double scale = std::exp(shape[0]);
  foot.length_mm = scale * model.mean.length_mm;
  Body body = body_at(model, shape);
  add_skin_offset(foot.skin.faces, offset_mm, body);
  if (load == Load::none) body.skin += scale * unloaded_relief(model);
  const Eigen::VectorXd thickness = model.thickness * shape;
  for (std::size_t v = 0; v < foot.skin.vertices_F.size(); ++v) {
    const auto column = static_cast<Eigen::Index>(v);
    foot.skin.vertices_F[v] = body.skin.col(column);
    const double relief = load == Load::none ? heel_pad_relief_mm * heel_pad_share(model.mean.skin.vertices_F[v]) : 0.0;
    const double tissue = model.mean.skin.thickness_mm[v] + thickness[column] + relief;
    // The bones are the shape's: skin that lies farther out has more flesh under it.
    const double more = offset_mm.empty() ? 0 : offset_mm[v];
    foot.skin.thickness_mm[v] = std::max(scale * tissue + more, scale * least_tissue_mm);
  }
  for (std::size_t j = 0; j < foot.joints.size(); ++j)
    foot.joints[j].centre_F = body.joints.col(static_cast<Eigen::Index>(j));
  turn_toe_axes(model.mean, *model.sites, body, foot);
  Eigen::Index row = 0;
  for (auto& [name, landmark] : foot.landmarks) landmark.position_F = body.landmarks.col(row++);
  return foot;
}

}  // namespace

std::array<double, dimension_count> unloaded_floor_z(const ShapeModel& model, double length_mm) {
  const double scale = length_mm / model.mean.length_mm;
  const double ball_x = model.mean.landmarks.at("MThead2").position_F.x();
  const auto floor_z = [&](double x) { return -scale * heel_pad_relief_mm * (ball_x - x) / (ball_x - heel_pad_x); };
  std::array<double, dimension_count> z{};
  z[arch_height] = floor_z(model.mean_body.landmarks(0, model.sites->navicular));
  z[lateral_malleolus_height] = floor_z(model.mean_body.landmarks(0, model.sites->lateral_malleolus));
  z[instep_height] = floor_z(model.mean.length_mm / 2);
  return z;
}

Eigen::Matrix3Xd unloaded_relief(const ShapeModel& model) {
  Eigen::Matrix3Xd relief = Eigen::Matrix3Xd::Zero(3, model.mean_body.skin.cols());
  for (Eigen::Index v = 0; v < relief.cols(); ++v)
    relief(2, v) = -heel_pad_relief_mm * heel_pad_share(model.mean_body.skin.col(v));
  return relief;
}

Shape shape_under(const ShapeModel& model, const Build& build, Load load) {
  if (load == Load::standing) return build.shape;
  const Body standing_body = body_at(model, build.shape);
  const Sizes standing = sizes_of(model, standing_body, build.shape, false);
  Numbers numbers;
  for (int i = 0; i < dimension_count; ++i) numbers[i] = standing.value[i];
  Numbers wanted = from_standing(numbers, load);
  if (load == Load::none && build.breadth_relaxed_mm) {
    wanted[foot_breadth] = build.breadth_relaxed_mm;
    // Ball and toes together: as broad as they stand, the toes would not fit abreast in front of the narrower ball.
    for (int toe = 0; toe < toe_count; ++toe)
      wanted[toe_breadth + toe] = *numbers[toe_breadth + toe] * *wanted[foot_breadth] / *numbers[foot_breadth];
  }
  Eigen::Matrix<double, dimension_count, 1> goal;
  for (int i = 0; i < dimension_count; ++i) goal[i] = *wanted[i];
  if (load == Load::none) {
    const auto floor = unloaded_floor_z(model, goal[foot_length]);
    for (int i = 0; i < dimension_count; ++i) goal[i] += floor[i];
  }
  // Newton's method with a light hand on the parameters: the dimensions are as many as the parameters, but length, ball
  // and toe are nearly one number.
  Shape shape = build.shape, best = shape;
  double least = std::numeric_limits<double>::infinity();
  Eigen::Matrix<double, shape_count, 1> ease = Shape::Constant(1e-4);
  ease[0] = 25;  // .02 mm of a number weighs like .004 of the scale
  // Without load the heel pad has sprung back.
  Eigen::Matrix3Xd relief;
  if (load == Load::none) relief = unloaded_relief(model);
  const auto sizes_at = [&](const Shape& at) {
    Body body = at == build.shape ? standing_body : body_at(model, at);
    if (load == Load::none) body.skin += std::exp(at[0]) * relief;
    return sizes_of(model, body, at, true);
  };
  Sizes of_best;
  for (int step = 0; step < 12; ++step) {
    const Sizes sizes = sizes_at(shape);
    const Eigen::Matrix<double, dimension_count, 1> miss = goal - sizes.value;
    const double worst = miss.allFinite() ? miss.cwiseAbs().maxCoeff() : std::numeric_limits<double>::infinity();
    if (!(worst < least)) {
      // Past a kink, where another point became the outermost: half the way.
      if (step == 0 || !std::isfinite(least)) break;
      shape = (shape + best) / 2;
      continue;
    }
    least = worst;
    best = shape;
    of_best = sizes;
    if (worst < 0.02) break;
    Eigen::Matrix<double, shape_count, shape_count> normal = sizes.slope.transpose() * sizes.slope;
    normal.diagonal() += ease;
    shape += normal.ldlt().solve(sizes.slope.transpose() * miss);
  }
  if (!std::isfinite(least)) return best;  // so misshapen that it cannot be measured
  // Newton may go to and fro over a kink of length or breadth; each alone falls steadily with its own parameter.
  const double scale = std::exp(best[0]);
  for (int step = 0; step < 8; ++step) {
    const double length = goal[foot_length] - of_best.value[foot_length],
                 breadth = goal[foot_breadth] - of_best.value[foot_breadth];
    if (!(std::max(std::abs(length), std::abs(breadth)) > 0.05)) break;
    best[ball_length] += length / scale;
    best[foot_breadth] += breadth / scale;
    of_best = sizes_at(best);
  }
  return best;
}

Shape standing_shape(const ShapeModel& model, const Shape& unloaded) {
  // Loading moves a shape by little, and by nearly the same wherever it is: what is missing is added until nothing is.
  Build build;
  build.shape = unloaded;
  for (int step = 0; step < 6; ++step) {
    const Shape missing = unloaded - shape_under(model, build, Load::none);
    build.shape += missing;
    if (missing.cwiseAbs().maxCoeff() < 1e-3) break;
  }
  return build.shape;
}

namespace {

/// The foot of `build`, its skin and bones at `shape`, which is build.shape when standing.
Foot foot_at(const ShapeModel& model, const Build& build, Load load, const Shape& shape) {
  Foot foot = grown(model, build.shape, build.skin_offset_mm, Load::standing);
  // Under bent toes the ball stands on the floor, and its flesh cannot be pressed down.
  foot.bulge[static_cast<int>(Fold::toes)] = 0;
  // The toes lie on the floor, or above it, in the standing foot; the joint angles that do this go with the foot.
  const JointAngles posture = toe_posture(foot, *model.sites, build.bend_deg, build.lift_mm);
  const bool bent = std::any_of(posture.begin(), posture.end(), [](double q) { return q != 0; });
  Foot standing = foot;
  if (bent) take_as_rest(standing, posture);
  const auto sizes = measure(*model.sites, body_of(standing));
  if (load != Load::standing) {
    foot = grown(model, shape, build.skin_offset_mm, load);
    foot.bulge = standing.bulge;
    if (bent) take_as_rest(foot, posture);
  } else {
    foot = std::move(standing);
  }
  scale_pointing_range(foot, build.plantarflexion_deg);
  foot.plantarflexion_deg = build.plantarflexion_deg;
  foot.length_mm = sizes[foot_length].value;
  foot.breadth_mm = sizes[foot_breadth].value;
  foot.breadth_relaxed_mm =
      build.breadth_relaxed_mm.value_or(foot.breadth_mm / load_ratios(Load::standing).foot_breadth);
  const double usual_squeeze = usual_squeeze_share * foot.breadth_relaxed_mm;
  foot.breadth_squeezed_mm = build.breadth_squeezed_mm.value_or(foot.breadth_relaxed_mm - usual_squeeze);
  scale_splay_range(foot, (foot.breadth_relaxed_mm - foot.breadth_squeezed_mm) / usual_squeeze);
  keep_volume(foot);
  grow_contact_points(model, foot);
  foot.shape.assign(build.shape.data(), build.shape.data() + shape_count);
  foot.skin_offset_mm = build.skin_offset_mm;
  return foot;
}

}  // namespace

Foot foot_under(const ShapeModel& model, const Build& build, Load load) {
  return foot_at(model, build, load, shape_under(model, build, load));
}

Foot build_foot_with_more(const ShapeModel& model, const Build& build, int dimension, double by) {
  const Sizes standing = sizes_of(model, body_at(model, build.shape), build.shape, true);
  const double step = by / standing.slope(dimension, dimension);
  // Not unloaded anew: shape_under() ends within a tolerance, on either side of which feet lie a tenth of a mm apart.
  Shape unloaded = shape_under(model, build, Load::none);
  unloaded[dimension] += step;
  Build more = build;
  more.shape[dimension] += step;
  return foot_at(model, more, Load::none, unloaded);
}

Foot build_foot(const ShapeModel& model, const Build& build) { return foot_under(model, build, Load::none); }

Body body_of(const Foot& foot) {
  Body body;
  body.skin.resize(3, static_cast<Eigen::Index>(foot.skin.vertices_F.size()));
  for (Eigen::Index v = 0; v < body.skin.cols(); ++v) body.skin.col(v) = foot.skin.vertices_F[v];
  body.joints.resize(3, static_cast<Eigen::Index>(foot.joints.size()));
  for (Eigen::Index j = 0; j < body.joints.cols(); ++j) body.joints.col(j) = foot.joints[j].centre_F;
  body.landmarks.resize(3, static_cast<Eigen::Index>(foot.landmarks.size()));
  Eigen::Index row = 0;
  for (const auto& [name, landmark] : foot.landmarks) body.landmarks.col(row++) = landmark.position_F;
  return body;
}

}  // namespace aplomb::foot
