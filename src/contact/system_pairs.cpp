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
  LinkColumns::Columns moved, turned, pull;
  std::vector<double> motions, pulls;  // of one point after the other: x of all unknowns, then y, then z
  for (PairView& view : pair_views_) {
    const std::vector<int>& dofs = view.columns.dofs();
    const auto count = static_cast<Eigen::Index>(dofs.size());
    Eigen::VectorXd R = Eigen::VectorXd::Zero(count);
    motions.clear(), pulls.clear();
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
      view.columns.moved(skin_.linkage(), item.hold, moved);
      const Eigen::RowVectorXd row = item.normal.transpose() * moved;  // the gap's gradient
      R -= p * row.transpose();
      if (out.K == nullptr) continue;
      for (const LinkHold& hold : item.hold)
        skin_.add_held_force(hold.link, hold.weight, hold.moment_rest, p * item.normal);
      // The gap is linear in the links' motions: K += k dg dg^T, the rest is geometric stiffness.
      pull = (k * item.normal).lazyProduct(row);
      if (areas_follow_) {
        // What the refreshed normal will do to the force: - p d(x - mean) . dn.
        view.columns.turned(skin_.linkage(), item.normal_hold, turned);
        turned += item.bend.lazyProduct(moved);
        const Mat3 across = (Mat3::Identity() - item.normal * item.normal.transpose()) * (p / item.raw_length);
        pull -= across.lazyProduct(turned);
      }
      for (auto& [all, one] : {std::pair(&motions, &moved), std::pair(&pulls, &pull)})
        for (Eigen::Index axis = 0; axis < 3; ++axis)
          all->insert(all->end(), one->row(axis).begin(), one->row(axis).end());
    }
    if (out.R == nullptr) continue;
    for (Eigen::Index a = 0; a < count; ++a) (*out.R)[dofs[static_cast<std::size_t>(a)]] += R[a];
    if (motions.empty()) continue;
    const Eigen::Index columns = static_cast<Eigen::Index>(motions.size()) / count;
    const Eigen::Map<const Eigen::MatrixXd> motion(motions.data(), count, columns),
        pulled(pulls.data(), count, columns);
    const Eigen::MatrixXd K = motion * pulled.transpose();
    for (Eigen::Index b = 0; b < count; ++b)
      for (Eigen::Index a = 0; a < count; ++a)
        (*out.K)(dofs[static_cast<std::size_t>(a)], dofs[static_cast<std::size_t>(b)]) += K(a, b);
  }
}

}  // namespace aplomb::contact
