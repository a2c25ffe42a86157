// Skin on skin: which partners a point sees, and the plane through them; see system_pairs.cpp.
//
// A point that is far from pressing is left as it was last seen: nothing can come nearer by more than the pair moves
// in itself, and it is looked at again long before that could matter.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "aplomb/contact/system.h"
#include "pair_plane.h"

namespace aplomb::contact {

namespace {

constexpr double partner_radius_mm = 4.0;  // partners farther than this across the point's normal have no weight
constexpr double pair_reach_mm = 2.0;      // pairs this far apart may come to touch within a step
constexpr double pair_depth_mm = 5.0;      // partners farther than this along the normal are no neighbours
constexpr double pair_aside_mm = 3.0;  // skin farther off than its reach by this counts only once it has moved so far
constexpr double well_seen_mm2 = 0.5;  // weighted area of the partners from which on a point counts in full

using Vec4 = Eigen::Vector4d;

const PairPlane& plane() {
  static const PairPlane best = best_plane();
  return best;
}

PlaneTables tables_of(const PairSide& side) {
  return {side.places().front().data(), side.normals().front().data(), side.plane_points().data()};
}

/// How the partners' mean normal turns as the point goes over their patch, `mean` from the point: least squares of the
/// change of normals, in the patch's plane.
Mat3 patch_bend(const PairSide& side, std::span<const int> partners, const std::vector<double>& weights, const Vec3& at,
                const Vec3& mean, const Vec3& normal) {
  Mat3 spread = Mat3::Zero(), change = Mat3::Zero();
  Vec3 mean_normal = Vec3::Zero();
  for (std::size_t k = 0; k < partners.size(); ++k)
    mean_normal += weights[k] * side.normal(static_cast<std::size_t>(partners[k]));
  for (std::size_t k = 0; k < partners.size(); ++k) {
    const auto j = static_cast<std::size_t>(partners[k]);
    const Vec3 d = side.at(j) - at - mean;
    const Vec3 t = d - normal * normal.dot(d);
    spread += weights[k] * t * t.transpose();
    change += weights[k] * (side.normal(j) - mean_normal) * t.transpose();
  }
  // Along the normal nothing is known; a patch of a few points in a row keeps its slope across them at nothing.
  spread += normal * normal.transpose() + 0.05 * Mat3::Identity();
  return change * spread.inverse();
}

}  // namespace

void System::freeze_pairs() {
  for (PairView& view : pair_views_) {
    const Isometry& T_world_link = skin_.linkage().T_world_link[static_cast<std::size_t>(view.link)];
    const Isometry T_link_world = T_world_link.inverse();
    view.travel_mm += view.a.follow(skin_, T_link_world) + view.b.follow(skin_, T_link_world);
    const PartnerReach reach{partner_radius_mm, pair_depth_mm, thickness_mm(view.pair->between)};
    const double counts_mm = std::hypot(partner_radius_mm, pair_depth_mm + reach.between_mm) + pair_aside_mm;
    const auto one_side = [&](PairSide& from, const PairSide& onto) {
      for (std::size_t k = 0; k < from.points().size(); ++k) {
        PairSide::Quiet& quiet = from.quiet[k];
        quiet.left_mm -= from.moved_mm(k) + onto.moved_mm(quiet.chunks);
        if (quiet.left_mm > 0 && view.travel_mm - quiet.travel_mm < pair_aside_mm) continue;
        const PairSide::Seen seen = onto.look(from.at(k), from.normal(k), reach);
        double quiet_mm = seen.clear_mm;
        int& at = from.item[k];
        if (at < 0 && !seen.partners.empty()) {
          at = static_cast<int>(view.items.size());
          PairItem& item = view.items.emplace_back();
          item.point = from.points()[k];
          item.pair = view.pair;
          item.between_mm = reach.between_mm;
        }
        if (!seen.partners.empty()) {
          // What turns the plane counts once more.
          quiet_mm =
              see_plane(from, k, onto, seen.partners, T_world_link.linear(), view.items[static_cast<std::size_t>(at)]) /
              2;
        } else if (at >= 0) {
          view.items[static_cast<std::size_t>(at)].in_reach = false;
        }
        quiet = {quiet_mm, onto.chunks_near(from.at(k), counts_mm), view.travel_mm};
      }
    };
    one_side(view.a, view.b);
    one_side(view.b, view.a);
  }
}

void System::hold(const PairSide& side, std::span<const int> which, const double* weights, PairItem& item,
                  bool normals) {
  held_.assign(side.links().size(), Vec4::Zero());
  held_normals_.assign(normals ? side.links().size() : 0, Vec4::Zero());
  plane().hang(tables_of(side), which.data(), weights, static_cast<int>(which.size()),
               {held_.front().data(), normals ? held_normals_.front().data() : nullptr});
  for (std::size_t l = 0; l < held_.size(); ++l) {
    if (held_[l].w() == 0) continue;
    item.hold.push_back({side.links()[l], held_[l].w(), held_[l].head<3>()});
    if (normals) item.normal_hold.push_back({side.links()[l], 0, held_normals_[l].head<3>()});
  }
}

double System::see_plane(const PairSide& from, std::size_t k, const PairSide& onto, std::span<const int> partners,
                         const Mat3& R_world_pair, PairItem& item) {
  item.in_reach = false;
  const Vec3 &x = from.at(k), &n_i = from.normal(k);
  const auto count = static_cast<int>(partners.size());
  if (partner_weights_.size() < partners.size()) {
    partner_weights_.resize(partners.size());
    plane_room_.resize(static_cast<std::size_t>(plane_room(count)));
  }
  const PlaneFrom looks{{x.x(), x.y(), x.z()}, {n_i.x(), n_i.y(), n_i.z()},
                        partner_radius_mm,     pair_depth_mm,
                        item.between_mm,       pair_reach_mm};
  const PlaneSeen seen =
      plane().see(tables_of(onto), looks, partners.data(), count, partner_weights_.data(), plane_room_.data());
  if (!(seen.area > 0)) return 0;
  if (seen.short_mm > 0) return seen.short_mm;
  // A point that only the rim of a partner sees comes in gradually.
  const double share = std::min(1.0, seen.area / well_seen_mm2);
  const double presence = share * share * share * (10 + share * (6 * share - 15));
  const Vec3 normal = Eigen::Map<const Vec3>(seen.normal), mean = Eigen::Map<const Vec3>(seen.mean);
  item.area =
      0.5 * presence * problem_.points[static_cast<std::size_t>(item.point)].area_mm2 * std::max(0.0, -n_i.dot(normal));
  if (item.area == 0) return 0;
  item.in_reach = true;
  item.normal = R_world_pair * normal;
  item.partner_layer = {seen.modulus_MPa, seen.thickness_mm};
  item.bulge_mm = seen.bulge_mm;
  // How the normal will turn counts only where a force acts.
  const double gap = item.bulge_mm - item.between_mm - normal.dot(mean);
  const bool presses = gap < ramp_half_width_mm;
  item.hold.clear();
  item.normal_hold.clear();
  // The vector from the partners' mean to the point, and their mean normal less its own.
  hold(onto, partners, partner_weights_.data(), item, presses);
  for (LinkHold& held : item.hold) held.weight = -held.weight, held.moment_rest = -held.moment_rest;
  const std::size_t of_partners = item.hold.size();
  const int own = static_cast<int>(k);
  const double whole = 1;
  hold(from, {&own, 1}, &whole, item, presses);
  for (std::size_t h = of_partners; h < item.normal_hold.size(); ++h) item.normal_hold[h].moment_rest *= -1;
  item.raw_length = 1;
  item.bend.setZero();
  if (!presses) return gap - ramp_half_width_mm;
  item.raw_length = seen.raw_length;
  item.bend = R_world_pair * patch_bend(onto, partners, partner_weights_, x, mean, normal) * R_world_pair.transpose();
  return 0;
}

}  // namespace aplomb::contact
