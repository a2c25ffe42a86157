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
// Skin whose normals are less than this apart would have to turn by 30 degrees more to face, which moves a point 5 mm
// from its joint further than a list lasts.
constexpr double never_faces_cos = 0.5;
constexpr double pair_list_margin_mm = 1.5;  // lists of partners are made anew when a point has moved this far
constexpr double turning_arm_mm = 8;  // a normal that turns by an angle counts as much as skin this far out moving
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

/// Places and normals of one side of a pair, each coordinate by itself, so that looking through all of them vectorises:
/// quicker than any order in space for a few hundred.
struct System::PairSide {
  std::vector<float> x, y, z, nx, ny, nz;
  std::vector<int> near;  ///< of each point, for the last looked for: 0 or 1
  Vec3 low = Vec3::Constant(std::numeric_limits<double>::max()), high = -low;

  PairSide(const SkinKinematics& skin, const std::vector<int>& points) {
    for (std::vector<float>* list : {&x, &y, &z, &nx, &ny, &nz}) list->reserve(points.size());
    for (int i : points) {
      const Vec3 &p = skin.position(i), &n = skin.normal(i);
      x.push_back(static_cast<float>(p.x())), y.push_back(static_cast<float>(p.y()));
      z.push_back(static_cast<float>(p.z())), nx.push_back(static_cast<float>(n.x()));
      ny.push_back(static_cast<float>(n.y())), nz.push_back(static_cast<float>(n.z()));
      low = low.cwiseMin(p), high = high.cwiseMax(p);
    }
    near.resize(points.size());
  }

  /// Marks what lies within `radius` of p and could come to face n; false when that is nothing.
  bool look(const Vec3& p, const Vec3& n, double radius) {
    if ((p - p.cwiseMax(low).cwiseMin(high)).squaredNorm() > radius * radius) return false;
    const auto px = static_cast<float>(p.x()), py = static_cast<float>(p.y()), pz = static_cast<float>(p.z());
    const auto ax = static_cast<float>(n.x()), ay = static_cast<float>(n.y()), az = static_cast<float>(n.z());
    const auto r2 = static_cast<float>(radius * radius), cos = static_cast<float>(never_faces_cos);
    const std::size_t count = x.size();
    const float *X = x.data(), *Y = y.data(), *Z = z.data(), *A = nx.data(), *B = ny.data(), *C = nz.data();
    int* in = near.data();
    int any = 0;
    for (std::size_t k = 0; k < count; ++k) {
      const float dx = X[k] - px, dy = Y[k] - py, dz = Z[k] - pz;
      in[k] = int{dx * dx + dy * dy + dz * dz < r2} & int{A[k] * ax + B[k] * ay + C[k] * az < cos};
      any |= in[k];
    }
    return any != 0;
  }
};

void System::list_candidates(PairView& view) const {
  // The lists hold every partner that could gain weight before the next listing, so the answer does not depend on when
  // it was; and in the order of the points, so that sums run in one order.
  view.candidates.clear();
  const double radius =
      std::hypot(partner_radius_mm, pair_depth_mm + thickness_mm(view.pair->between)) + 2 * pair_list_margin_mm;
  const auto one_side = [&](const std::vector<int>& from, const std::vector<int>& onto) {
    PairSide side(skin_, onto);
    for (int i : from) {
      if (!side.look(skin_.position(i), skin_.normal(i), radius)) continue;
      Candidates near{i, {}, -1};
      for (std::size_t k = 0; k < onto.size(); ++k)
        if (side.near[k] != 0) near.partners.push_back(onto[k]);
      view.candidates.push_back(std::move(near));
    }
  };
  one_side(view.pair->a, view.pair->b);
  one_side(view.pair->b, view.pair->a);
  view.a.listed_at = view.a.at;
  view.b.listed_at = view.b.at;
}

bool System::is_stale(const PairView& view) const {
  for (const SideSeen* side : {&view.a, &view.b}) {
    if (side->listed_at.size() != side->at.size()) return true;
    for (std::size_t k = 0; k < side->at.size(); ++k)
      if ((side->at[k] - side->listed_at[k]).squaredNorm() > pair_list_margin_mm * pair_list_margin_mm) return true;
  }
  return false;
}

void System::follow(PairView& view) const {
  const Isometry T_link_world = skin_.linkage().T_world_link[view.link].inverse();
  const auto moved = [&](const std::vector<int>& points, SideSeen& side) {
    const bool seen = side.at.size() == points.size();
    side.at.resize(points.size());
    side.normals.resize(points.size());
    double farthest = 0;
    for (std::size_t k = 0; k < points.size(); ++k) {
      const Vec3 at = T_link_world * skin_.position(points[k]);
      const Vec3 normal = T_link_world.linear() * skin_.normal(points[k]);
      if (seen)
        farthest = std::max({farthest, (at - side.at[k]).squaredNorm(),
                             (normal - side.normals[k]).squaredNorm() * (turning_arm_mm * turning_arm_mm)});
      side.at[k] = at;
      side.normals[k] = normal;
    }
    return std::sqrt(farthest);
  };
  view.travel_mm += moved(view.pair->a, view.a) + moved(view.pair->b, view.b);
}

void System::freeze_pairs() {
  for (PairView& view : pair_views_) {
    follow(view);
    if (is_stale(view)) {
      list_candidates(view);
      // Items are written over, to keep their memory.
      if (view.items.size() < view.candidates.size()) view.items.resize(view.candidates.size());
      for (PairItem& item : view.items) item.in_reach = false;
    }
    for (std::size_t c = 0; c < view.candidates.size(); ++c) {
      Candidates& candidate = view.candidates[c];
      if (view.travel_mm < candidate.quiet_until) continue;
      // What turns the plane counts once more.
      candidate.quiet_until = view.travel_mm + see_plane(candidate, *view.pair, view.items[c]) / 2;
    }
  }
}

double System::weigh_partners(const Candidates& candidate, double between, Partners& partners,
                              Vec3& mean_normal) const {
  const Vec3& x = skin_.position(candidate.point);
  const Vec3& n_i = skin_.normal(candidate.point);
  double total = 0;
  partners.clear();
  mean_normal.setZero();
  for (int j : candidate.partners) {
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
    partners.emplace_back(j, w);
    total += w;
    mean_normal += w * skin_.normal(j);
  }
  return total;
}

double System::short_of_weight_mm(const Candidates& candidate, double between) const {
  const Vec3& x = skin_.position(candidate.point);
  const Vec3& n_i = skin_.normal(candidate.point);
  double least = pair_list_margin_mm;
  for (int j : candidate.partners) {
    const Vec3 d = skin_.position(j) - x;
    const double along = d.dot(n_i);
    const double across = std::sqrt(std::max(0.0, d.squaredNorm() - along * along));
    const double turned_away = skin_.normal(j).dot(n_i) * turning_arm_mm;
    least =
        std::min(least, std::max({std::abs(along - between) - pair_depth_mm, across - partner_radius_mm, turned_away}));
  }
  return std::max(0.0, least);
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

double System::see_plane(const Candidates& candidate, const SkinPair& pair, PairItem& item) {
  const int i = candidate.point;
  const Vec3& x = skin_.position(i);
  const Vec3& n_i = skin_.normal(i);
  const double between = thickness_mm(pair.between);
  Partners& partners = partners_seen_;
  Vec3 mean_normal;
  double total = weigh_partners(candidate, between, partners, mean_normal);
  item.in_reach = false;
  if (total <= 0) return short_of_weight_mm(candidate, between);
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
