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

/// A ramp with rounded ends: its steepest slope, which decides whether skin folds through itself, is 1.18 of the mean
/// slope (1.5 for smooth_step).
double even_step(double edge0, double edge1, double x) {
  constexpr double end = 0.15;
  const double t = std::clamp((x - edge0) / (edge1 - edge0), 0.0, 1.0), slope = 1 / (1 - end);
  if (t < end) return slope * t * t / (2 * end);
  if (t > 1 - end) return 1 - slope * (1 - t) * (1 - t) / (2 * end);
  return slope * (t - end / 2);
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
  }
  for (int k = 1; k < 5; ++k)
    toe_flexion(fmt::format("PIP{}", k + 1), foot::middle1 + k - 1, row(fmt::format("PIP{}", k + 1)));
  toe_flexion("IP1", foot::distal0, row("IP1"));
  for (int k = 1; k < 5; ++k)
    toe_flexion(fmt::format("DIP{}", k + 1), foot::distal0 + k, row(fmt::format("DIP{}", k + 1)));
  return joints;
}

double Rig::Hinge::share(const Vec3& p) const { return smooth_step(-half_width, half_width, (p - centre).dot(normal)); }

Rig::Rig(const Anatomy& anatomy, const FootShape& shape) : shape_(shape) {
  const auto at = [&](const std::string& id) { return anatomy.points.at(id).position_F; };
  // A hinge plane holds the turning axis and leans with the foot's dorsum.
  const auto across = [&](const std::string& id, double half_width, double lean_deg, double forward) {
    const AnatomyPoint& p = anatomy.points.at(id);
    const double lean = lean_deg * geometry::rad_per_deg;
    const Vec3 flat = Vec3(p.flex_axis_F.y(), -p.flex_axis_F.x(), 0).normalized();
    const Vec3 normal = (std::cos(lean) * flat + std::sin(lean) * Vec3::UnitZ()).normalized();
    return Hinge{p.position_F + forward * flat, normal, half_width};
  };
  midtarsal_ = across("midtarsal_lumped", 18, 8, 2);
  naviculocuneiform_ = across("naviculocuneiform", 15, 0, 0);
  for (std::size_t k = 0; k < 5; ++k) {
    const auto n = std::to_string(k + 1);
    tmt_[k] = across("TMT" + n, 15, -5, 0);
    mtp_[k] = across("MTP" + n, k == 0 ? 11 : 9, 0, k == 0 ? 2 : 1.5);
    pip_[k] = across(k == 0 ? "IP1" : "PIP" + n, k == 0 ? 6 : 4, 0, 0);
    if (k > 0) dip_[k] = across("DIP" + n, 3.5, 0, 0);
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
  if (result.past_web_mm > 6.5) {
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
  const double at_web = smooth_step(-18, 1.5, result.past_web_mm), parted = smooth_step(2.5, 6.5, result.past_web_mm);
  const double cleft = (y[k] - shape_.cleft_y(static_cast<int>(k), p.x())) / (y[k] - y[k + 1]);
  const double middle = 0.5 + at_web * (std::clamp(cleft, 0.3, 0.7) - 0.5),
               spread = 0.5 - 0.4 * at_web - 0.085 * parted;
  const double s = smooth_step(middle - spread, middle + spread, t);
  result.share[k] = 1 - s;
  result.share[k + 1] = s;
  return result;
}

double Rig::foot_share(const Vec3& p) const {
  // The blend is widest behind the ankle, where fifty degrees of pointing take up forty millimetres of skin, and lies
  // higher in front, where the instep belongs to the foot.
  static const std::vector<Vec2> low{{8, 42}, {40, 46}, {63, 52}, {85, 62}, {100, 72}, {125, 96}};
  static const std::vector<Vec2> high{{8, 129}, {40, 115}, {63, 96}, {85, 100}, {100, 110}, {125, 130}};
  const double x = std::clamp(p.x(), 8.0, 125.0);
  return 1 - even_step(interpolate(low, x), interpolate(high, x), p.z());
}

std::array<double, foot::bone_count> Rig::all_weights(const Vec3& p) const {
  std::array<double, foot::bone_count> w{};
  const double on_foot = foot_share(p);
  w[foot::tibia] = 1 - on_foot;
  const double past_midtarsal = midtarsal_.share(p);
  // The talus has no skin of its own: it is wrapped by the leg above and the heel below.
  w[foot::hindfoot] = on_foot * (1 - past_midtarsal);
  const double front = on_foot * past_midtarsal;
  if (front <= 0) return w;
  const RayPlace place = this->place(p);
  const double past_nc = naviculocuneiform_.share(p);
  const auto add = [&](int bone, double share) { w[static_cast<std::size_t>(bone)] += share; };
  for (std::size_t k = 0; k < 5; ++k) {
    const double here = front * place.share[k];
    if (here <= 0) continue;
    const int toe = static_cast<int>(k);
    double past = tmt_[k].share(p);
    if (k < 3) {
      add(foot::midfoot, here * (1 - past_nc) * (1 - past));
      add(foot::cuneiform, here * past_nc * (1 - past));
    } else {
      add(foot::midfoot, here * (1 - past));
    }
    const double on_ray = here * past;
    past = mtp_[k].share(p);
    add(foot::ray0 + toe, on_ray * (1 - past));
    const double on_toe = on_ray * past;
    const double past_pip = pip_[k].share(p);
    add(foot::proximal0 + toe, on_toe * (1 - past_pip));
    if (k == 0) {
      add(foot::distal0, on_toe * past_pip);
    } else {
      const double past_dip = dip_[k].share(p);
      add(foot::middle1 + toe - 1, on_toe * past_pip * (1 - past_dip));
      add(foot::distal0 + toe, on_toe * past_pip * past_dip);
    }
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
