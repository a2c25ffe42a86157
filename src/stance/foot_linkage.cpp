// Turns a foot into links, springs and skin points.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "foot_linkage.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/foot/build.h"
#include "aplomb/stance/stand.h"
#include "falling.h"

namespace aplomb::stance {

using contact::JointSpring;
using contact::LinkageAxis;
using geometry::Mat3;
using geometry::rad_per_deg;
using geometry::Vec3;
using U = FootUnknowns;

namespace {

constexpr double Nmm_per_Nm = 1000.0;

const foot::JointAxis& joint(const foot::Foot& foot, const std::string& name) {
  return foot.joints[static_cast<std::size_t>(foot::joint_index(foot, name))];
}

/// Unknown that drives each of the foot's joint axes, with the tie ratio.
struct Drive {
  int dof;
  double ratio;
};
std::optional<Drive> drive_of(const std::string& name, const Constants& constants) {
  if (name == "ankle") return Drive{U::ankle, 1};
  if (name == "subtalar") return Drive{U::subtalar, 1};
  if (name == "midtarsal") return Drive{U::midtarsal, 1};
  if (name == "midtarsal_inversion") return Drive{U::midtarsal_inversion, 1};
  if (name == "naviculocuneiform") return Drive{U::midtarsal, naviculocuneiform_share};
  for (int k = 0; k < foot::toe_count; ++k) {
    if (name == fmt::format("TMT{}", k + 1)) return Drive{U::ray_flexion + k, 1};
    if (name == fmt::format("TMT{}_splay", k + 1)) return Drive{U::ray_splay + k, 1};
    if (name == fmt::format("MTP{}", k + 1)) return Drive{U::mtp_flexion + k, 1};
    if (name == fmt::format("MTP{}_splay", k + 1)) return Drive{U::mtp_splay + k, 1};
    if (name == fmt::format("{}{}", k == 0 ? "IP" : "PIP", k + 1)) return Drive{U::ip + k, 1};
    if (k > 0 && name == fmt::format("DIP{}", k + 1)) return Drive{U::ip + k, constants.dip_share_of_pip};
  }
  return std::nullopt;
}

/// IP, PIP and DIP are counted from straight, so that the tie between them bends them together from a straight toe.
bool counted_from_straight(const std::string& name) { return name.find("IP") != std::string::npos; }

double modulus_of(foot::Region region, const Constants& c) {
  switch (region) {
    case foot::Region::heel:
      return c.heel_E_MPa;
    case foot::Region::arch:
    case foot::Region::lateral_border:
      return c.midfoot_E_MPa;
    case foot::Region::ankle:
    case foot::Region::dorsum:
      return c.other_E_MPa;
    default:
      return c.toe_forefoot_E_MPa;
  }
}

/// The slide of an in-between bone, driven by the first axis on its way. Two equal and opposite turns about points that
/// lie `dip` apart carry it along an arc: (R - 1) dip.
std::vector<LinkageAxis> slide_axes(const foot::Between& between, const LinkageAxis& first, double size_mm) {
  std::vector<LinkageAxis> axes;
  const auto steady = [&](const Vec3& along) {
    const double mm = along.norm();
    if (mm > 0)
      axes.push_back(
          {LinkageAxis::Kind::slide, first.dof, mm * first.ratio, along / mm, Vec3::Zero(), mm * first.offset});
  };
  const Vec3 dip = size_mm * between.dip;
  steady(size_mm * between.bulge - first.axis.cross(dip));
  if (dip.norm() > 0) {
    LinkageAxis out = first, back = first;
    out.centre = Vec3::Zero();
    back.centre = dip;
    back.ratio = -first.ratio;
    back.offset = -first.offset;
    axes.push_back(out);
    axes.push_back(back);
  }
  return axes;
}

/// An in-between bone slides, then turns with its share of the joints it bridges.
std::vector<LinkageAxis> between_axes(const foot::Between& between, const contact::Linkage& linkage,
                                      const foot::Foot& foot) {
  const std::vector<int> way = foot::bones_on_the_way(between.from, between.to);
  std::vector<LinkageAxis> axes;
  if (const auto& first = linkage.links[way.front()].axes; !first.empty())
    axes = slide_axes(between, first.front(), foot.length_mm * foot.bulge[static_cast<int>(between.fold)]);
  if (between.share == 0) return axes;
  for (const int turned : way) {
    for (LinkageAxis turn : linkage.links[turned].axes) {
      turn.ratio *= between.share;
      turn.offset *= between.share;
      axes.push_back(turn);
    }
  }
  return axes;
}

using ToeChains = std::array<std::vector<int>, foot::toe_count>;
const ToeChains& toe_chains() {
  static const ToeChains chains{foot::toe_chain(0), foot::toe_chain(1), foot::toe_chain(2), foot::toe_chain(3),
                                foot::toe_chain(4)};
  return chains;
}

/// The toe that each bone is of; -1: none.
const std::array<int, foot::bone_count>& toe_of_bone() {
  static const auto toes = [] {
    std::array<int, foot::bone_count> of{};
    of.fill(-1);
    for (int toe = 0; toe < foot::toe_count; ++toe)
      for (const int bone : toe_chains()[static_cast<std::size_t>(toe)]) of[static_cast<std::size_t>(bone)] = toe;
    return of;
  }();
  return toes;
}

/// The corners of a face may hang on more than two bones along one toe: the point is put between the two at its own
/// place, as the corners are. With two rays that makes four links at most.
void merge_along_toe(int toe, std::array<double, foot::bone_count>& weight) {
  const std::vector<int>& chain = toe_chains()[static_cast<std::size_t>(toe)];
  double sum = 0, place = 0;
  for (std::size_t i = 0; i < chain.size(); ++i) {
    sum += weight[chain[i]];
    place += static_cast<double>(i) * weight[chain[i]];
    weight[chain[i]] = 0;
  }
  if (sum <= 0) return;
  place /= sum;
  const auto i = std::min(static_cast<std::size_t>(place), chain.size() - 2);
  const double t = place - static_cast<double>(i);
  weight[chain[i]] = sum * (1 - t);
  weight[chain[i + 1]] = sum * t;
}

/// What a firm hand takes off her relaxed breadth, over what it usually takes; within what a hand can tell.
double squeeze_compliance(const foot::Foot& foot) {
  const double usual_mm = foot::usual_squeeze_share * foot.breadth_relaxed_mm;
  return std::clamp((foot.breadth_relaxed_mm - foot.breadth_squeezed_mm) / usual_mm, 0.25, 3.0);
}

}  // namespace

Pointing pointing_range(const foot::Foot& foot, const Constants& constants) {
  const double total = foot.plantarflexion_deg * rad_per_deg;
  const double midfoot = constants.midfoot_share_of_pointing * total;
  // The midfoot's share goes to midtarsal, naviculocuneiform and rays as their ranges: 13 : 4 : 8.
  return {total - midfoot, midfoot * 13.0 / 25.0, midfoot * 8.0 / 25.0};
}

io::Result<contact::Linkage> foot_linkage(const foot::Foot& foot, const Constants& constants, const Mat3& tibia,
                                          const Mat3& room) {
  const auto ankle = foot.landmarks.find("ankle_centre");
  if (ankle == foot.landmarks.end())
    return io::fail({.field = "foot", .message = "has no ankle centre", .remedy = "make the foot anew from its card"});
  contact::Linkage linkage;
  linkage.dof_count = U::count;
  const Vec3 centre = ankle->second.position_F;
  linkage.T_world_rest.linear() = tibia;
  linkage.T_world_rest.translation() = -tibia * centre;  // ankle centre at the origin; the three slides put it in place

  for (int bone = 0; bone < foot::bone_count; ++bone)
    linkage.links.push_back({foot::bone_names[bone], foot::bone_parent(bone), {}});
  auto& root = linkage.links[foot::tibia].axes;
  // Slides along the world's axes, whatever the tibia's lean.
  for (int k = 0; k < 3; ++k)
    root.push_back({LinkageAxis::Kind::slide, U::slide_x + k, 1, tibia.transpose() * Vec3::Unit(k), Vec3::Zero()});
  // Her balance holds the tibia's direction: these two never move, but the moments that hold them tell where the line
  // of force passes.
  root.push_back({LinkageAxis::Kind::turn, U::tilt_x, 1, tibia.transpose() * room.col(0), centre});
  root.push_back({LinkageAxis::Kind::turn, U::tilt_y, 1, tibia.transpose() * room.col(1), centre});
  root.push_back({LinkageAxis::Kind::turn, U::spin, 1, Vec3::UnitZ(), centre});

  std::vector<bool> driven(U::count, false);
  for (const foot::JointAxis& axis : foot.joints) {
    const auto drive = drive_of(axis.name, constants);
    if (!drive)
      return io::fail({.field = "foot",
                       .message = "has an unknown joint " + axis.name,
                       .remedy = "make the foot anew from its card"});
    driven[drive->dof] = true;
    LinkageAxis turn{LinkageAxis::Kind::turn, drive->dof, drive->ratio, axis.axis_F, axis.centre_F};
    if (counted_from_straight(axis.name)) turn.offset = axis.straight_deg * rad_per_deg;
    linkage.links[axis.bone].axes.push_back(turn);
  }
  for (int bone = foot::anatomical_bone_count; bone < foot::bone_count; ++bone)
    linkage.links[bone].axes = between_axes(foot::between_of(bone), linkage, foot);
  for (int dof = U::ankle; dof < U::tilt_x; ++dof)
    if (!driven[dof])
      return io::fail({.field = "foot",
                       .message = fmt::format("lacks the joint of unknown {}", dof),
                       .remedy = "make the foot anew from its card"});
  return linkage;
}

Aim lined_up(const foot::Foot& foot, const contact::Linkage& linkage, const Constants& constants, double ankle) {
  const foot::JointAxis& subtalar = joint(foot, "subtalar");
  const foot::JointAxis& midtarsal = joint(foot, "midtarsal_inversion");
  const foot::Landmark& tip = foot.landmarks.at("bonetip2");
  const Vec3 ankle_centre = foot.landmarks.at("ankle_centre").position_F;
  // The linkage stands its rest frame in the world; seen in the tibia's own frame its lean is taken out.
  const auto tibia = linkage.T_world_rest.inverse();
  Aim aim;
  aim.ankle = ankle;
  // Lateral offset of the second toe from the ankle for one share of the eversion there is, with the ball square.
  auto offset_at = [&](double share) {
    aim.subtalar = share * subtalar.min_deg * rad_per_deg;
    aim.midtarsal_inversion = share * midtarsal.min_deg * rad_per_deg;
    aim.spin = 0;
    const auto T = contact::pose(linkage, pointed_posture(foot, constants, aim, linkage.dof_count)).T_world_link;
    const Vec3 across =
        tibia * (T[foot::ray0] * joint(foot, "MTP1").centre_F) - tibia * (T[foot::ray4] * joint(foot, "MTP5").centre_F);
    aim.spin = std::atan2(across.x(), across.y());
    const Vec3 to_tip = tibia * (T[tip.bone] * tip.position_F) - ankle_centre;
    return std::cos(aim.spin) * to_tip.y() + std::sin(aim.spin) * to_tip.x();
  };
  // The offset falls steadily with eversion.
  offset_at(falls_to_zero(offset_at, -0.5, 1));
  return aim;
}

double ankle_over_toe(const foot::Foot& foot, const contact::Linkage& linkage, const Constants& constants) {
  const foot::Landmark& tip = foot.landmarks.at("bonetip2");
  const auto tibia = linkage.T_world_rest.inverse();
  const double ankle_x = foot.landmarks.at("ankle_centre").position_F.x();
  return falls_to_zero(
      [&](double ankle) {
        const Aim aim = lined_up(foot, linkage, constants, ankle);
        const auto T = contact::pose(linkage, pointed_posture(foot, constants, aim, linkage.dof_count)).T_world_link;
        return (tibia * (T[tip.bone] * tip.position_F)).x() - ankle_x;
      },
      0, pointing_range(foot, constants).ankle);
}

std::vector<JointSpring> pointe_springs(const foot::Foot& foot, const Constants& c, const Aim& aim) {
  std::vector<JointSpring> springs;
  const Pointing range = pointing_range(foot, c);
  auto limits = [&](JointSpring& spring, const std::string& name, double offset_deg, double stiffness_Nm) {
    const foot::JointAxis& axis = joint(foot, name);
    spring.min = (axis.min_deg - offset_deg) * rad_per_deg;
    spring.max = (axis.max_deg - offset_deg) * rad_per_deg;
    spring.limit_stiffness = stiffness_Nm * Nmm_per_Nm;
  };

  JointSpring spin{U::spin, "leg spin"};
  spin.passive_stiffness = c.leg_spin_Nm * Nmm_per_Nm;
  spin.passive_rest = aim.spin;
  springs.push_back(spin);

  for (const auto& [dof, name, command] :
       {std::tuple{U::ankle, "ankle", aim.ankle}, std::tuple{U::subtalar, "subtalar", aim.subtalar}}) {
    JointSpring hold{dof, name};
    hold.tone_stiffness = c.ankle_hold_Nm * Nmm_per_Nm;
    hold.tone_cap = c.ankle_cap_Nm * Nmm_per_Nm;
    hold.tone_unloaded = c.ankle_hold_unloaded;  // a hanging foot is not clenched against the box
    hold.tone_target = command;
    limits(hold, name, 0, c.ankle_limit_Nm);
    if (dof == U::ankle) hold.max = range.ankle;
    springs.push_back(hold);
  }

  JointSpring midtarsal{U::midtarsal, "midtarsal"};
  midtarsal.passive_stiffness = c.midtarsal_Nm * Nmm_per_Nm;
  midtarsal.passive_rest = range.midtarsal;
  springs.push_back(midtarsal);
  JointSpring inversion{U::midtarsal_inversion, "midtarsal_inversion"};
  inversion.passive_stiffness = c.midtarsal_inversion_Nm * Nmm_per_Nm;
  inversion.passive_rest = aim.midtarsal_inversion;
  limits(inversion, "midtarsal_inversion", 0, c.joint_limit_Nm);
  springs.push_back(inversion);

  const double compliance = squeeze_compliance(foot);
  for (int k = 0; k < foot::toe_count; ++k) {
    const bool hallux = k == 0;
    JointSpring ray{U::ray_flexion + k, fmt::format("TMT{}", k + 1)};
    ray.passive_stiffness = c.ray_flexion_Nm[k] * Nmm_per_Nm;
    ray.passive_rest = range.ray;
    springs.push_back(ray);

    JointSpring splay{U::ray_splay + k, fmt::format("TMT{}_splay", k + 1)};
    splay.passive_stiffness = c.ray_splay_Nm / compliance * Nmm_per_Nm;
    limits(splay, splay.name, 0, c.joint_limit_Nm);
    springs.push_back(splay);
    // Firm and hard zones: what each adds to the one before, from where it begins, either way.
    const auto zone = [&](double begins_deg, double adds_Nm) {
      JointSpring stiffer{splay.dof, splay.name};
      stiffer.max = begins_deg * compliance * rad_per_deg;
      stiffer.min = -stiffer.max;
      stiffer.limit_stiffness = std::max(0.0, adds_Nm) / compliance * Nmm_per_Nm;
      springs.push_back(stiffer);
    };
    zone(c.ray_splay_firm_deg, c.ray_splay_firm_Nm - c.ray_splay_Nm);
    zone(c.ray_splay_hard_deg, c.ray_splay_hard_Nm - c.ray_splay_firm_Nm);

    const double tone = c.tone_factor * (hallux ? c.hallux_mtp_tone_Nm : c.lesser_mtp_tone_Nm) * Nmm_per_Nm;
    const double cap = (hallux ? c.hallux_mtp_cap_Nm : c.lesser_mtp_cap_Nm) * Nmm_per_Nm;
    JointSpring mtp{U::mtp_flexion + k, fmt::format("MTP{}", k + 1)};
    mtp.passive_stiffness = (hallux ? c.hallux_mtp_passive_Nm : c.lesser_mtp_passive_Nm) * Nmm_per_Nm;
    if (cap > 0) {
      mtp.tone_stiffness = tone;
      mtp.tone_cap = cap;
      mtp.tone_target = joint(foot, mtp.name).straight_deg * rad_per_deg;
    }
    limits(mtp, mtp.name, 0, c.toe_limit_Nm);
    springs.push_back(mtp);

    JointSpring mtp_splay{U::mtp_splay + k, fmt::format("MTP{}_splay", k + 1)};
    mtp_splay.passive_stiffness = (hallux ? 1.0 : 0.5) * c.mtp_splay_Nm * Nmm_per_Nm;
    limits(mtp_splay, mtp_splay.name, 0, c.toe_limit_Nm);
    springs.push_back(mtp_splay);

    JointSpring ip{U::ip + k, fmt::format("{}{}", hallux ? "IP" : "PIP", k + 1)};
    const double straight_deg = joint(foot, ip.name).straight_deg;
    ip.passive_stiffness = c.ip_passive_Nm * Nmm_per_Nm;
    ip.passive_rest = -straight_deg * rad_per_deg;  // counted from straight; at rest in the standing pose
    if (cap > 0) {
      ip.tone_stiffness = c.ip_share_of_mtp_tone * tone;
      ip.tone_cap = c.ip_share_of_mtp_tone * cap;
      ip.tone_target = 0;
    }
    limits(ip, ip.name, straight_deg, c.toe_limit_Nm);
    springs.push_back(ip);
  }
  return springs;
}

std::vector<contact::SkinPoint> skin_points(const foot::Foot& foot, const Constants& c) {
  std::vector<contact::SkinPoint> points;
  points.reserve(foot.contact_points.size());
  const double kappa = contact::layer_factor(c.poisson_ratio);
  const auto& skin = foot.skin;
  std::array<double, foot::bone_count> weight{};  // of each bone
  std::vector<int> moved_by;                      // those that have some
  for (const foot::ContactPoint& at : foot.contact_points) {
    const auto& face = skin.faces[at.face];
    contact::SkinPoint point;
    point.position_rest.setZero();
    moved_by.clear();
    std::array<bool, foot::toe_count> on_toe{};
    const auto moves = [&](int bone) -> double& {
      double& of = weight[static_cast<std::size_t>(bone)];
      if (std::find(moved_by.begin(), moved_by.end(), bone) == moved_by.end()) moved_by.push_back(bone);
      return of;
    };
    for (int k = 0; k < 3; ++k) {
      point.position_rest += at.barycentric[k] * skin.vertices_F[face[k]];
      for (int j = 0; j < 4; ++j) {
        const double w = at.barycentric[k] * skin.weights[face[k]][j];
        if (!(w > 0)) continue;
        const int bone = skin.bones[face[k]][j], toe = toe_of_bone()[static_cast<std::size_t>(bone)];
        moves(bone) += w;
        if (toe >= 0) on_toe[static_cast<std::size_t>(toe)] = true;
      }
    }
    for (int toe = 0; toe < foot::toe_count; ++toe) {
      if (!on_toe[static_cast<std::size_t>(toe)]) continue;
      merge_along_toe(toe, weight);
      for (const int bone : toe_chains()[static_cast<std::size_t>(toe)])
        if (weight[static_cast<std::size_t>(bone)] > 0) moves(bone);
    }
    const Vec3 a = skin.vertices_F[face[0]], b = skin.vertices_F[face[1]], d = skin.vertices_F[face[2]];
    point.normal_rest = (b - a).cross(d - a).normalized();
    // The four bones that move the point most carry it.
    const std::size_t carried_by = std::min<std::size_t>(4, moved_by.size());
    std::partial_sort(moved_by.begin(), moved_by.begin() + static_cast<std::ptrdiff_t>(carried_by), moved_by.end(),
                      [&](int i, int j) { return weight[i] != weight[j] ? weight[i] > weight[j] : i < j; });
    double total = 0;
    for (std::size_t j = 0; j < carried_by; ++j) total += weight[moved_by[j]];
    point.weights.fill(0);
    for (std::size_t j = 0; j < carried_by; ++j) {
      point.links[j] = moved_by[j];
      point.weights[j] = weight[moved_by[j]] / total;
    }
    for (const int bone : moved_by) weight[bone] = 0;
    const double E = modulus_of(at.region, c);
    point.area_mm2 = at.area_mm2;
    const double thickness_mm = std::max(c.thinnest_tissue_mm, at.thickness_mm);
    point.layer = {kappa * E, thickness_mm};
    point.shear_stiffness_MPa_per_mm = E / (2 * (1 + c.poisson_ratio) * thickness_mm);
    points.push_back(point);
  }
  return points;
}

Eigen::VectorXd pointed_posture(const foot::Foot& foot, const Constants& constants, const Aim& aim, int dof_count) {
  Eigen::VectorXd q = Eigen::VectorXd::Zero(dof_count);
  const Pointing range = pointing_range(foot, constants);
  q[U::spin] = aim.spin;
  q[U::ankle] = aim.ankle;
  q[U::subtalar] = aim.subtalar;
  q[U::midtarsal_inversion] = aim.midtarsal_inversion;
  q[U::midtarsal] = range.midtarsal;
  for (int k = 0; k < foot::toe_count; ++k) {
    q[U::ray_flexion + k] = range.ray;
    q[U::mtp_flexion + k] = joint(foot, fmt::format("MTP{}", k + 1)).straight_deg * rad_per_deg;
  }
  return q;
}

}  // namespace aplomb::stance
