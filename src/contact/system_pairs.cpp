// Skin on skin: neighbouring patches press on each other through both layers in series.
//
// A point sees the partner patch as a plane through a smooth weighted mean of its nearest points, facing along the mean
// of both patches' normals. Weights and normal are frozen for a step; the positions are not, so the forces on both
// sides are equal and opposite at any q. The mean of a curved patch lies inside it, by .1 to .3 mm on a toe: too much
// beside the overlap. Height over a curve is exact to second order when the slope is averaged between both ends, so
// with n the mean normal and n_j the partners' own
//   gap = n . (x - mean) + bulge,  bulge = 1/2 sum_j w_j (n_j - n) . (x - y_j),  the bulge frozen like the weights.
//
// With the weights frozen, the vector from partner plane to point is linear in the links' motions,
//   x - mean = sum_l (R_l Y_l + W_l t_l),  sum_l W_l = 0,
// so an item needs only one (W, Y) for each of the few links it hangs on, however many partners were averaged.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <limits>

#include "aplomb/contact/system.h"
#include "evaluation.h"

namespace aplomb::contact {

namespace {
constexpr double partner_radius_mm = 4.0;  // partners farther than this across the point's normal have no weight
constexpr double pair_reach_mm = 2.0;      // pairs this far apart may come to touch within a step
constexpr double pair_depth_mm = 5.0;      // partners farther than this along the normal are no neighbours
constexpr double well_seen_mm2 = 0.5;      // weighted area of the partners from which on a point counts in full
// Skin whose normals are less than this apart would have to turn by 30 degrees more to face, which moves a point 5 mm
// from its joint further than a list lasts.
constexpr double never_faces_cos = 0.5;
constexpr double pair_list_margin_mm = 1.0;  // lists of partners are made anew when a point has moved this far
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

void System::list_pair_candidates() {
  // The lists hold every partner that could gain weight before the next listing, so the answer does not depend on when
  // it was; and in the order of the points, so that sums run in one order.
  pair_candidates_.clear();
  const auto one_side = [&](const SkinPair& pair, const std::vector<int>& from, const std::vector<int>& onto) {
    const double radius =
        std::hypot(partner_radius_mm, pair_depth_mm + thickness_mm(pair.between)) + 2 * pair_list_margin_mm;
    PairSide side(skin_, onto);
    for (int i : from) {
      if (!side.look(skin_.position(i), skin_.normal(i), radius)) continue;
      Candidates near{i, {}, &pair};
      for (std::size_t k = 0; k < onto.size(); ++k)
        if (side.near[k] != 0) near.partners.push_back(onto[k]);
      pair_candidates_.push_back(std::move(near));
    }
  };
  for (const SkinPair& pair : problem_.pairs) {
    one_side(pair, pair.a, pair.b);
    one_side(pair, pair.b, pair.a);
  }
  pair_listed_at_ = skin_.positions();
}

void System::freeze_pairs() {
  bool stale = pair_listed_at_.empty();
  if (!stale) {
    // What all have moved together changes no distances.
    Vec3 common = Vec3::Zero();
    int count = 0;
    for (const Candidates& c : pair_candidates_) common += skin_.position(c.point) - pair_listed_at_[c.point], ++count;
    if (count > 0) common /= count;
    for (const SkinPair& pair : problem_.pairs)
      for (const auto* side : {&pair.a, &pair.b})
        for (int i : *side)
          stale = stale || (skin_.position(i) - pair_listed_at_[i] - common).squaredNorm() >
                               pair_list_margin_mm * pair_list_margin_mm;
  }
  if (stale) list_pair_candidates();

  std::size_t used = 0;  // items are written over, to keep their memory
  std::vector<std::pair<int, double>> partners;
  std::vector<std::size_t> place_of_link(problem_.linkage.links.size(), 0);
  for (const Candidates& candidate : pair_candidates_) {
    const int i = candidate.point;
    const Vec3& x = skin_.position(i);
    const Vec3& n_i = skin_.normal(i);
    const double between = thickness_mm(candidate.pair->between);
    double total = 0, h = 0, M = 0;
    Vec3 mean = Vec3::Zero(), mean_normal = Vec3::Zero();
    partners.clear();
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
    if (total <= 0) continue;
    // A point that only the rim of a partner sees comes in gradually.
    const double seen = std::min(1.0, total / well_seen_mm2);
    const double presence = seen * seen * seen * (10 + seen * (6 * seen - 15));
    const Vec3 n = mean_normal / total - n_i;
    if (n.norm() < 0.5) continue;
    const Vec3 normal = n.normalized();
    // The mean cannot lie nearer than the nearest partner.
    double nearest = std::numeric_limits<double>::max();
    for (const auto& [j, w] : partners) nearest = std::min(nearest, normal.dot(x - skin_.position(j)));
    if (nearest - between > pair_reach_mm) continue;
    aim_weights(partners, x, normal);
    total = 0;
    for (const auto& [j, w] : partners) {
      total += w;
      mean += w * skin_.position(j);
      h += w * problem_.points[j].layer.thickness_mm;
      M += w * problem_.points[j].layer.modulus_MPa;
    }
    mean /= total;
    if (used == pair_items_.size()) pair_items_.emplace_back();
    PairItem& item = pair_items_[used];
    item.hold.clear();
    item.normal_hold.clear();
    item.bulge_mm = 0;
    item.raw_length = 1;
    item.bend.setZero();
    item.point = i;
    item.pair = candidate.pair;
    item.between_mm = between;
    item.normal = normal;
    if (item.normal.dot(x - mean) - between > pair_reach_mm) continue;
    item.area = 0.5 * presence * problem_.points[i].area_mm2 * std::max(0.0, -n_i.dot(item.normal));
    if (item.area == 0) continue;
    item.partner_layer = {M / total, h / total};
    Vec3 slope = Vec3::Zero();
    for (const auto& [j, w] : partners) {
      const Vec3 tilt = skin_.normal(j) / std::max(0.2, skin_.normal(j).dot(item.normal)) - item.normal;
      item.bulge_mm += 0.5 * w / total * tilt.dot(x - skin_.position(j));
      slope += w / total * tilt;
    }
    item.bulge_mm += 0.5 * slope.dot(x - mean);
    const auto hang = [&](std::vector<LinkHold>& holds, int point, double weight, double place, const Vec3& rest) {
      const SkinPoint& p = problem_.points[point];
      for (int k = 0; k < 4; ++k) {
        if (!(p.weights[k] > 0)) continue;
        const double w = weight * p.weights[k];
        std::size_t& at = place_of_link[static_cast<std::size_t>(p.links[k])];
        if (at >= holds.size() || holds[at].link != p.links[k]) {
          at = holds.size();
          holds.push_back({p.links[k], 0, Vec3::Zero()});
        }
        holds[at].weight += place * w;
        holds[at].moment_rest += w * rest;
      }
    };
    hang(item.hold, i, 1, 1, problem_.points[i].position_rest);
    for (const auto& [j, w] : partners) hang(item.hold, j, -w / total, 1, problem_.points[j].position_rest);
    ++used;
    // How the normal will turn counts only where a force acts.
    if (pair_gap(item) >= ramp_half_width_mm) continue;
    hang(item.normal_hold, i, -1, 0, problem_.points[i].normal_rest);
    for (const auto& [j, w] : partners) hang(item.normal_hold, j, w / total, 0, problem_.points[j].normal_rest);
    item.raw_length = n.norm();
    item.bend = patch_bend(partners, total, mean, normal);
  }
  pair_items_.resize(used);
}

double System::pair_gap(const PairItem& item) const {
  double gap = item.bulge_mm - item.between_mm;
  for (const LinkHold& hold : item.hold) {
    const Isometry& T = skin_.linkage().T_world_link[hold.link];
    gap += item.normal.dot(T.linear() * hold.moment_rest + hold.weight * T.translation());
  }
  return gap;
}

SeriesJet System::press_pair(const PairItem& item, double d) const {
  const Layer& own = problem_.points[item.point].layer;
  if (item.pair->between.empty()) return series_energy(own, item.partner_layer, d);
  std::vector<Layer> beyond = item.pair->between;
  beyond.push_back(item.partner_layer);
  return press(own, beyond, d);
}

void System::pass_pairs(Evaluation& out) {
  constexpr int most = 2 * PointJacobian::max_columns;  // unknowns that two patches can hang on
  using Columns = Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, most>;
  Columns moved, turned, pull;  // of each unknown in `used`
  std::vector<int> used, place(static_cast<std::size_t>(problem_.dof_count), -1);
  for (const PairItem& item : pair_items_) {
    const double gap = pair_gap(item);
    if (gap >= ramp_half_width_mm) continue;
    const Jet r = ramp(-gap);
    const SeriesJet series = press_pair(item, r.value);
    const Jet& w = series.jet;
    out.energy += item.area * w.value;
    if (out.R == nullptr) continue;
    const double p = item.area * w.first * r.first;
    const double k = item.area * (w.second * r.first * r.first + w.first * r.second);
    // Each axis turns or slides what hangs on the links below it.
    used.clear();
    moved.resize(3, 0);
    const auto place_of = [&](int dof) {
      int& at = place[static_cast<std::size_t>(dof)];
      if (at < 0) {
        at = static_cast<int>(used.size());
        used.push_back(dof);
        moved.conservativeResize(3, at + 1);
        moved.col(at).setZero();
      }
      return at;
    };
    for (const LinkHold& hold : item.hold) {
      const Isometry& T = skin_.linkage().T_world_link[hold.link];
      const Vec3 y = T.linear() * hold.moment_rest + hold.weight * T.translation();
      for (const PosedAxis& axis : skin_.linkage().chain[hold.link]) {
        const int at = place_of(axis.dof);
        if (axis.kind == LinkageAxis::Kind::turn)
          moved.col(at) += axis.ratio * axis.axis_world.cross(y - hold.weight * axis.centre_world);
        else
          moved.col(at) += (axis.ratio * hold.weight) * axis.axis_world;
      }
      if (out.K) skin_.add_held_force(hold.link, hold.weight, hold.moment_rest, p * item.normal);
    }
    const auto count = static_cast<Eigen::Index>(used.size());
    const auto row = (item.normal.transpose() * moved).eval();  // the gap's gradient
    for (Eigen::Index a = 0; a < count; ++a) (*out.R)[used[static_cast<std::size_t>(a)]] -= p * row[a];
    if (out.K != nullptr) {
      // The gap is linear in the links' motions: K += k dg dg^T, the rest is geometric stiffness.
      pull = (k * item.normal).lazyProduct(row);
      if (areas_follow_) {
        // What the refreshed normal will do to the force: - p d(x - mean) . dn.
        turned.setZero(3, count);
        for (const LinkHold& hold : item.normal_hold) {
          const Vec3 y = skin_.linkage().T_world_link[hold.link].linear() * hold.moment_rest;
          for (const PosedAxis& axis : skin_.linkage().chain[hold.link])
            if (axis.kind == LinkageAxis::Kind::turn)
              turned.col(place_of(axis.dof)) += axis.ratio * axis.axis_world.cross(y);
        }
        const Mat3 across = (Mat3::Identity() - item.normal * item.normal.transpose()) * (p / item.raw_length);
        pull -= across.lazyProduct(turned + item.bend.lazyProduct(moved));
      }
      add_products(used, moved, pull, *out.K);
    }
    for (int dof : used) place[static_cast<std::size_t>(dof)] = -1;
  }
}

}  // namespace aplomb::contact
