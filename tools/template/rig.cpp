// Joints from the tables, skin weights from planes across the joints and lines along the rays.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "rig.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace aplomb::template_tool {

using foot::JointAxis;

namespace {

double interpolate(const std::vector<Vec2>& line, double x) {
  std::size_t i = 0;
  while (i + 2 < line.size() && line[i + 1].x() < x) ++i;
  return line[i].y() + (x - line[i].x()) / (line[i + 1].x() - line[i].x()) * (line[i + 1].y() - line[i].y());
}

/// A ramp with rounded ends, each `end` of its length: its steepest slope, which decides whether skin folds through
/// itself, is 1.18 of the mean slope at .15 (1.5 for smooth_step).
double even_step(double edge0, double edge1, double x, double end = 0.15) {
  const double t = std::clamp((x - edge0) / (edge1 - edge0), 0.0, 1.0), slope = 1 / (1 - end);
  if (t < end) return slope * t * t / (2 * end);
  if (t > 1 - end) return 1 - slope * (1 - t) * (1 - t) / (2 * end);
  return slope * (t - end / 2);
}

/// Two neighbours in a row of bones and their shares at a place between them, counted in bones from the first.
struct Blend {
  int bone = 0, next = 0;
  double share = 1, next_share = 0;
};

Blend blend(const std::vector<int>& row, double place) {
  const auto i = static_cast<std::size_t>(std::clamp(place, 0.0, static_cast<double>(row.size() - 2)));
  const double t = place - static_cast<double>(i);
  return {row[i], row[i + 1], 1 - t, t};
}

}  // namespace

std::vector<JointAxis> make_joints(const Anatomy& anatomy) {
  std::vector<JointAxis> joints;
  const auto row = [&](const std::string& id) -> const AnatomyPoint& { return anatomy.points.at(id); };
  const auto flexion = [&](const std::string& name, int bone, const AnatomyPoint& p) {
    joints.push_back({name, bone, p.position_F, p.flex_axis_F, 0, -p.dorsiflexion_deg, p.plantarflexion_deg});
  };
  const auto second = [&](const std::string& name, int bone, const AnatomyPoint& p) {
    joints.push_back({name, bone, p.position_F, p.second_axis_F, 0, p.second_min_deg, p.second_max_deg});
  };
  // Toe ranges are tabled from straight; the standing pose lies rest_deg away from it.
  const auto toe_flexion = [&](const std::string& name, int bone, const AnatomyPoint& p) {
    joints.push_back({name, bone, p.position_F, p.flex_axis_F, -p.rest_deg,
                      std::min(0.0, -p.dorsiflexion_deg - p.rest_deg),
                      std::max(0.0, p.plantarflexion_deg - p.rest_deg)});
  };
  flexion("ankle", foot::talus, row("ankle"));
  second("subtalar", foot::hindfoot, row("subtalar"));
  flexion("midtarsal", foot::midfoot, row("midtarsal_lumped"));
  second("midtarsal_inversion", foot::midfoot, row("midtarsal_lumped"));
  flexion("naviculocuneiform", foot::cuneiform, row("naviculocuneiform"));
  for (int k = 0; k < 5; ++k) {
    const std::string id = fmt::format("TMT{}", k + 1);
    flexion(id, foot::ray0 + k, row(id));
    second(id + "_splay", foot::ray0 + k, row(id));
  }
  for (int k = 0; k < 5; ++k) {
    const std::string id = fmt::format("MTP{}", k + 1);
    toe_flexion(id, foot::proximal0 + k, row(id));
    second(id + "_splay", foot::proximal0 + k, row(id));
    // Straight toes draw back toward where their lines meet and would run into each other; held long, the two lateral
    // ones give way by about a degree, which keeps their clefts as wide as they stand [guess].
    if (k >= 3) joints.back().straight_deg = k == 3 ? -1.7 : -1.9;
  }
  for (int k = 1; k < 5; ++k)
    toe_flexion(fmt::format("PIP{}", k + 1), foot::middle1 + k - 1, row(fmt::format("PIP{}", k + 1)));
  toe_flexion("IP1", foot::distal0, row("IP1"));
  for (int k = 1; k < 5; ++k)
    toe_flexion(fmt::format("DIP{}", k + 1), foot::distal0 + k, row(fmt::format("DIP{}", k + 1)));
  return joints;
}

double Rig::Hinge::share(const Vec3& p) const {
  const double up = p.z() - centre.z();
  const double half_width = std::hypot(half_width_mm, (up > 0 ? widens_up : widens_down) * up);
  return even_step(-half_width, half_width, (p - centre).dot(forward) - (up > 0 ? leans * up : 0));
}

Rig::Rig(const Anatomy& anatomy, const FootShape& shape) : shape_(shape) {
  const auto at = [&](const std::string& id) { return anatomy.points.at(id).position_F; };
  const auto across = [&](const std::string& id, double half_width_mm, double widens_up, double widens_down,
                          double leans = 0) {
    const AnatomyPoint& p = anatomy.points.at(id);
    const Vec3 forward = Vec3(p.flex_axis_F.y(), -p.flex_axis_F.x(), 0).normalized();
    return Hinge{p.position_F, forward, half_width_mm, widens_up, widens_down, leans};
  };
  // Skin at height h over an axis is squeezed by the angle times h: over the toes' 1.3 rad upward it needs 2.6 h to
  // both sides together to keep half its length, and so on with the range of each joint.
  midtarsal_ = across("midtarsal_lumped", 18, 0.3, 0.6);
  naviculocuneiform_ = across("naviculocuneiform", 15, 0, 0.2);
  for (std::size_t k = 0; k < 5; ++k) {
    const auto n = std::to_string(k + 1);
    tmt_[k] = across("TMT" + n, 15, 0, 0.2);
    mtp_[k] = across("MTP" + n, k == 0 ? 19 : k == 4 ? 17 : 15, k == 0 ? 0.9 : 0.7, 0.7, 0.2);
    pip_[k] = k == 0 ? across("IP1", 5, 0.4, 0.8) : across("PIP" + n, 3.5, 0.5, 0.75);
    if (k > 0) dip_[k] = across("DIP" + n, 4, 0.5, 1.2);
    // Behind the metatarsal bases the lines run on to the heel side.
    const Vec3 base = at("TMT" + n), head = at("MTP" + n), tip = at("tip" + n), pip = at(k == 0 ? "IP1" : "PIP" + n);
    const Vec3 back = base + (base - head) * (base.x() - 60) / (head.x() - base.x());
    ray_line_[k] = {
        {back.x(), back.y()}, {base.x(), base.y()}, {head.x(), head.y()}, {pip.x(), pip.y()}, {tip.x() + 3, tip.y()}};
  }
}

RayPlace Rig::place(const Vec3& p) const {
  RayPlace result;
  std::array<double, 5> y{};
  for (std::size_t k = 0; k < 5; ++k)
    y[k] = interpolate(ray_line_[k], std::clamp(p.x(), 60.0, ray_line_[k].back().x()));
  result.past_web_mm = shape_.past_web(p);
  // The toes end at different places: past the end of a line the nearest toe by the implicit shape decides.
  if (result.past_web_mm > 10.5) {
    std::size_t nearest = 0;
    for (std::size_t k = 1; k < 5; ++k)
      if (shape_.toe(static_cast<int>(k), p) < shape_.toe(static_cast<int>(nearest), p)) nearest = k;
    result.share[nearest] = 1;
    return result;
  }
  if (p.y() >= y[0]) {
    result.share[0] = 1;
    return result;
  }
  if (p.y() <= y[4]) {
    result.share[4] = 1;
    return result;
  }
  std::size_t k = 0;
  while (k < 3 && p.y() < y[k + 1]) ++k;
  const double t = (y[k] - p.y()) / (y[k] - y[k + 1]);
  // Rays blend over their whole spacing behind the web, over a narrow strip at it, about the cleft between the toes,
  // and over less than the cleft's breadth where the toes have parted.
  const double at_web = smooth_step(-18, 1.5, result.past_web_mm),
               parted = smooth_step(1, k == 0 ? 10 : 6, result.past_web_mm);
  const double strip = k == 0 ? 0.36 : 0.4;
  const double cleft = (y[k] - shape_.cleft_y(static_cast<int>(k), p.x())) / (y[k] - y[k + 1]);
  const double middle = 0.5 + at_web * (std::clamp(cleft, 0.3, 0.7) - 0.5),
               spread = 0.5 - strip * at_web - (0.49 - strip) * parted;
  const double s = smooth_step(middle - spread, middle + spread, t);
  result.share[k] = 1 - s;
  result.share[k + 1] = s;
  return result;
}

namespace {

/// 1 below the line `low`, 0 above the line `high`, both z over x, between x 8 and 125. In front, where pointing
/// stretches the skin and cannot fold it, the ramp has long soft ends, which leave no edge across the shin.
double below(const std::vector<Vec2>& low, const std::vector<Vec2>& high, const Vec3& p) {
  const double x = std::clamp(p.x(), 8.0, 125.0);
  return 1 - even_step(interpolate(low, x), interpolate(high, x), p.z(), 0.15 + 0.3 * smooth_step(55, 85, x));
}

}  // namespace

bool Rig::on_leg(const Vec3& p) const {
  static const std::vector<Vec2> low{{8, 42}, {40, 46}, {63, 52}, {85, 62}, {100, 72}, {125, 96}};
  static const std::vector<Vec2> high{{8, 129}, {40, 115}, {63, 96}, {85, 100}, {100, 110}, {125, 130}};
  return below(low, high, p) < 0.75;
}

double Rig::foot_share(const Vec3& p) {
  // The blend is widest behind the ankle, where sixty degrees of pointing take up more than fifty millimetres of skin,
  // and lies higher in front, where the instep belongs to the foot.
  static const std::vector<Vec2> low{{8, 28}, {40, 42}, {63, 51}, {85, 63}, {100, 74}, {125, 98}};
  static const std::vector<Vec2> high{{8, 137}, {40, 125}, {63, 115}, {85, 125}, {100, 132}, {125, 137}};
  return below(low, high, p);
}

double Rig::cord_share(const Vec3& p) { return 1 - smooth_step(14, 40, p.x()); }

double Rig::behind_ankle_share(const Vec3& p) { return 1 - smooth_step(36, 68, p.x()); }

double Rig::arch_share(const Vec3& p) {
  return 0.7 * smooth_step(55, 95, p.x()) * (1 - smooth_step(100, 155, p.x())) * smooth_step(-42, -2, p.y()) *
         (1 - smooth_step(14, 36, p.z()));
}

std::array<double, foot::bone_count> Rig::all_weights(const Vec3& p) const {
  std::array<double, foot::bone_count> w{};
  const auto add = [&](int bone, double share) { w[static_cast<std::size_t>(bone)] += share; };
  // The talus has no skin of its own: it is wrapped by the leg above and the heel below, and the in-between bones.
  static const std::vector<int> sides{foot::tibia,          foot::ankle_between0, foot::ankle_between1,
                                      foot::ankle_between2, foot::ankle_between3, foot::hindfoot};
  static const std::vector<int> cord{foot::tibia,      foot::heel_cord0, foot::heel_cord1,
                                     foot::heel_cord2, foot::heel_cord3, foot::hindfoot};
  static const std::vector<int> inner{foot::tibia,        foot::inner_flesh0, foot::inner_flesh1,
                                      foot::inner_flesh2, foot::inner_flesh3, foot::hindfoot};
  static const std::vector<int> outer{foot::tibia,        foot::outer_flesh0, foot::outer_flesh1,
                                      foot::outer_flesh2, foot::outer_flesh3, foot::hindfoot};
  // Round the ankle from the cord over the flesh beside it to the bones: never more than two rows take part.
  const double place = static_cast<double>(sides.size() - 1) * foot_share(p), on_cord = cord_share(p),
               behind = behind_ankle_share(p);
  double on_foot = 0;
  for (const auto& [row, share] : {std::pair{&cord, on_cord}, std::pair{p.y() > 0 ? &inner : &outer, behind - on_cord},
                                   std::pair{&sides, 1 - behind}}) {
    const Blend ankle = blend(*row, place);
    if (ankle.next == foot::hindfoot)
      on_foot += share * ankle.next_share;
    else
      add(ankle.next, share * ankle.next_share);
    add(ankle.bone, share * ankle.share);
  }
  if (on_foot <= 0) return w;
  const double on_arch = on_foot * arch_share(p);
  add(foot::arch_flesh, on_arch);
  on_foot -= on_arch;
  const double past_midtarsal = midtarsal_.share(p);
  add(foot::hindfoot, on_foot * (1 - past_midtarsal));
  const double front = on_foot * past_midtarsal;
  if (front <= 0) return w;
  const RayPlace rays = this->place(p);
  const double past_nc = naviculocuneiform_.share(p);
  for (std::size_t k = 0; k < 5; ++k) {
    const double here = front * rays.share[k];
    if (here <= 0) continue;
    const int toe = static_cast<int>(k);
    const double past = tmt_[k].share(p);
    if (k < 3) {
      add(foot::midfoot, here * (1 - past_nc) * (1 - past));
      add(foot::cuneiform, here * past_nc * (1 - past));
    } else {
      add(foot::midfoot, here * (1 - past));
    }
    // One place along the whole toe, so that never more than two of its bones take part.
    double along = 3 * mtp_[k].share(p) + 2 * pip_[k].share(p);
    if (k > 0) along += 2 * dip_[k].share(p);
    const Blend on_toe = blend(foot::toe_chain(toe), along);
    add(on_toe.bone, here * past * on_toe.share);
    add(on_toe.next, here * past * on_toe.next_share);
  }
  return w;
}

void Rig::weights(const Vec3& p, std::array<int, 4>& bones, std::array<double, 4>& weights) const {
  const auto all = all_weights(p);
  std::array<int, foot::bone_count> order{};
  for (int b = 0; b < foot::bone_count; ++b) order[static_cast<std::size_t>(b)] = b;
  std::stable_sort(order.begin(), order.end(),
                   [&](int a, int b) { return all[static_cast<std::size_t>(a)] > all[static_cast<std::size_t>(b)]; });
  const double fifth = all[static_cast<std::size_t>(order[4])];
  double sum = 0;
  for (std::size_t k = 0; k < 4; ++k) {
    bones[k] = order[k];
    weights[k] = std::max(0.0, all[static_cast<std::size_t>(order[k])] - fifth);
    sum += weights[k];
  }
  for (std::size_t k = 0; k < 4; ++k) {
    weights[k] /= sum;
    if (weights[k] == 0) bones[k] = bones[0];
  }
}

}  // namespace aplomb::template_tool
