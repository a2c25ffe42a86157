// Skin on skin: which partners a point sees, and the plane through them; see system_pairs.cpp.
//
// A point that is far from pressing is left as it was last seen: nothing can come nearer by more than the pair moves
// in itself, and it is looked at again long before that could matter.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <limits>

#include "aplomb/contact/system.h"

namespace aplomb::contact {

namespace {
constexpr double partner_radius_mm = 4.0;  // partners farther than this across the point's normal have no weight
constexpr double pair_reach_mm = 2.0;      // pairs this far apart may come to touch within a step
constexpr double pair_depth_mm = 5.0;      // partners farther than this along the normal are no neighbours
constexpr double well_seen_mm2 = 0.5;      // weighted area of the partners from which on a point counts in full
}  // namespace

void System::aim_weights(std::vector<std::pair<int, double>>& partners, const Vec3& x, const Vec3& normal) const {
  // Weights w (1 + b . t), t the offset across the normal, with b such that the mean lies straight behind the point:
  // then the two forces of a pair share one line and turn nothing. At the rim of a patch, where that would need
  // negative weights, as far as it goes.
  const Vec3 across = normal.unitOrthogonal(), along = normal.cross(across);
  Eigen::Matrix2d second = Eigen::Matrix2d::Zero();
  Vec2 first = Vec2::Zero();
  for (const auto& [j, w] : partners) {
    const Vec3 d = skin_.position(j) - x;
    const Vec2 t(d.dot(across), d.dot(along));
    second += w * t * t.transpose();
    first += w * t;
  }
  second += 1e-9 * (second.trace() + 1e-30) * Eigen::Matrix2d::Identity();
  Vec2 b = -second.inverse() * first;
  // The limit is that of a partner at the rim, there or not: one that enters there without weight changes nothing.
  const double reach = b.norm() * partner_radius_mm;
  if (reach > 0.9) b *= 0.9 / reach;
  for (auto& [j, w] : partners) {
    const Vec3 d = skin_.position(j) - x;
    w *= std::max(0.05, 1 + b.dot(Vec2(d.dot(across), d.dot(along))));
  }
}

// Least squares of the normals' change over the patch, in its plane.
Mat3 System::patch_bend(const std::vector<std::pair<int, double>>& partners, double total, const Vec3& mean,
                        const Vec3& normal) const {
  Mat3 spread = Mat3::Zero(), change = Mat3::Zero();
  Vec3 mean_normal = Vec3::Zero();
  for (const auto& [j, w] : partners) mean_normal += w / total * skin_.normal(j);
  for (const auto& [j, w] : partners) {
    const Vec3 d = skin_.position(j) - mean;
    const Vec3 t = d - normal * normal.dot(d);
    spread += w / total * t * t.transpose();
    change += w / total * (skin_.normal(j) - mean_normal) * t.transpose();
  }
  // Along the normal nothing is known; a patch of a few points in a row keeps its slope across them at nothing.
  spread += normal * normal.transpose() + 0.05 * Mat3::Identity();
  return change * spread.inverse();
}

void System::freeze_pairs() {
  for (PairView& view : pair_views_) {
    const Isometry T_link_world = skin_.linkage().T_world_link[view.link].inverse();
    view.travel_mm += view.a.follow(skin_, T_link_world) + view.b.follow(skin_, T_link_world);
    PartnerReach reach{partner_radius_mm, pair_depth_mm, thickness_mm(view.pair->between)};
    const auto one_side = [&](PairSide& from, const PairSide& onto) {
      for (std::size_t k = 0; k < from.points().size(); ++k) {
        if (view.travel_mm < from.quiet_until[k]) continue;
        double quiet_mm = onto.look(from.at(k), from.normal(k), reach, partners_);
        int& at = from.item[k];
        if (at < 0 && !partners_.empty()) {
          at = static_cast<int>(view.items.size());
          view.items.emplace_back();
        }
        if (!partners_.empty()) {
          // What turns the plane counts once more.
          quiet_mm = see_plane(from.points()[k], partners_, *view.pair, view.items[static_cast<std::size_t>(at)]) / 2;
        } else if (at >= 0) {
          view.items[static_cast<std::size_t>(at)].in_reach = false;
        }
        from.quiet_until[k] = view.travel_mm + quiet_mm;
      }
    };
    one_side(view.a, view.b);
    one_side(view.b, view.a);
  }
}

double System::weigh_partners(int point, double between, Partners& partners, Vec3& mean_normal) const {
  const Vec3& x = skin_.position(point);
  const Vec3& n_i = skin_.normal(point);
  double total = 0;
  std::size_t kept = 0;
  mean_normal.setZero();
  for (const auto& [j, none] : partners) {
    const Vec3 d = skin_.position(j) - x;
    // Distance across this point's own normal decides who is opposite; along it the patches may overlap or stand off.
    const double along = d.dot(n_i);
    if (std::abs(along - between) > pair_depth_mm) continue;
    const double u = (d.squaredNorm() - along * along) / (partner_radius_mm * partner_radius_mm);
    if (u >= 1) continue;
    const double facing = -skin_.normal(j).dot(n_i);
    if (facing <= 0) continue;
    const SkinPoint& partner = problem_.points[j];
    // Bumps, smooth at their edges, sharp enough across that the nearest few points carry it.
    const double across = (1 - u) * (1 - u) * (1 - u);
    const double v = (along - between) / pair_depth_mm;
    const double w = across * across * (1 - v * v) * (1 - v * v) * facing * partner.area_mm2;
    partners[kept++] = {j, w};
    total += w;
    mean_normal += w * skin_.normal(j);
  }
  partners.resize(kept);
  return total;
}

void System::hang(std::vector<LinkHold>& holds, int point, double weight, double place, const Vec3& rest) {
  const SkinPoint& p = problem_.points[point];
  for (int k = 0; k < 4; ++k) {
    if (!(p.weights[k] > 0)) continue;
    const double w = weight * p.weights[k];
    std::size_t& at = place_of_link_[static_cast<std::size_t>(p.links[k])];
    if (at >= holds.size() || holds[at].link != p.links[k]) {
      at = holds.size();
      holds.push_back({p.links[k], 0, Vec3::Zero()});
    }
    holds[at].weight += place * w;
    holds[at].moment_rest += w * rest;
  }
}

double System::see_plane(int i, Partners& partners, const SkinPair& pair, PairItem& item) {
  const Vec3& x = skin_.position(i);
  const Vec3& n_i = skin_.normal(i);
  const double between = thickness_mm(pair.between);
  Vec3 mean_normal;
  double total = weigh_partners(i, between, partners, mean_normal);
  item.in_reach = false;
  if (total <= 0) return 0;
  // A point that only the rim of a partner sees comes in gradually.
  const double seen = std::min(1.0, total / well_seen_mm2);
  const double presence = seen * seen * seen * (10 + seen * (6 * seen - 15));
  const Vec3 n = mean_normal / total - n_i;
  if (n.norm() < 0.5) return 0;
  item.normal = n.normalized();
  // The mean cannot lie nearer than the nearest partner.
  double nearest = std::numeric_limits<double>::max();
  for (const auto& [j, w] : partners) nearest = std::min(nearest, item.normal.dot(x - skin_.position(j)));
  if (nearest - between > pair_reach_mm) return nearest - between - pair_reach_mm;
  aim_weights(partners, x, item.normal);
  total = 0;
  double h = 0, M = 0;
  Vec3 mean = Vec3::Zero();
  for (const auto& [j, w] : partners) {
    total += w;
    mean += w * skin_.position(j);
    h += w * problem_.points[j].layer.thickness_mm;
    M += w * problem_.points[j].layer.modulus_MPa;
  }
  mean /= total;
  const double off = item.normal.dot(x - mean) - between;
  if (off > pair_reach_mm) return off - pair_reach_mm;
  item.area = 0.5 * presence * problem_.points[i].area_mm2 * std::max(0.0, -n_i.dot(item.normal));
  if (item.area == 0) return 0;
  item.in_reach = true;
  item.point = i;
  item.pair = &pair;
  item.between_mm = between;
  item.partner_layer = {M / total, h / total};
  item.bulge_mm = 0;
  Vec3 slope = Vec3::Zero();
  for (const auto& [j, w] : partners) {
    const Vec3 tilt = skin_.normal(j) / std::max(0.2, skin_.normal(j).dot(item.normal)) - item.normal;
    item.bulge_mm += 0.5 * w / total * tilt.dot(x - skin_.position(j));
    slope += w / total * tilt;
  }
  item.bulge_mm += 0.5 * slope.dot(x - mean);
  item.hold.clear();
  item.normal_hold.clear();
  hang(item.hold, i, 1, 1, problem_.points[i].position_rest);
  for (const auto& [j, w] : partners) hang(item.hold, j, -w / total, 1, problem_.points[j].position_rest);
  item.raw_length = 1;
  item.bend.setZero();
  // How the normal will turn counts only where a force acts.
  const double gap = pair_gap(item);
  if (gap >= ramp_half_width_mm) return gap - ramp_half_width_mm;
  hang(item.normal_hold, i, -1, 0, problem_.points[i].normal_rest);
  for (const auto& [j, w] : partners) hang(item.normal_hold, j, w / total, 0, problem_.points[j].normal_rest);
  item.raw_length = n.norm();
  item.bend = patch_bend(partners, total, mean, item.normal);
  return 0;
}

}  // namespace aplomb::contact
