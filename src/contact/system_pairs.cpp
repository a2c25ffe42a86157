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
#include "aplomb/contact/system.h"
#include "evaluation.h"

namespace aplomb::contact {

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
  for (const PairView& view : pair_views_)
    for (const PairItem& item : view.items) {
      if (!item.in_reach) continue;
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
