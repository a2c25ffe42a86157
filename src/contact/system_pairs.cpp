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

namespace {

/// Sum over the points of motion^T pull, each 3 x count and one after the other.
Eigen::MatrixXd products(const std::vector<double>& motions, const std::vector<double>& pulls, Eigen::Index count) {
  const Eigen::Index points = static_cast<Eigen::Index>(motions.size()) / (3 * count);
  // Rows of all points below each other, so that one product does for all.
  Eigen::MatrixXd motion(3 * points, count), pull(3 * points, count);
  for (Eigen::Index i = 0; i < points; ++i) {
    const Eigen::Index at = i * 3 * count;
    motion.middleRows<3>(3 * i) = Eigen::Map<const LinkColumns::Columns>(motions.data() + at, 3, count);
    pull.middleRows<3>(3 * i) = Eigen::Map<const LinkColumns::Columns>(pulls.data() + at, 3, count);
  }
  return motion.transpose() * pull;
}

}  // namespace

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
  LinkColumns::Columns moved, turned;
  std::vector<double> motions, pulls;  // of one point after the other, 3 for each unknown
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
      motions.insert(motions.end(), moved.data(), moved.data() + moved.size());
      // The gap is linear in the links' motions: K += k dg dg^T, the rest is geometric stiffness.
      const std::size_t at = pulls.size();
      pulls.resize(at + static_cast<std::size_t>(3 * count));
      Eigen::Map<LinkColumns::Columns> pull(pulls.data() + at, 3, count);
      pull = (k * item.normal).lazyProduct(row);
      if (areas_follow_) {
        // What the refreshed normal will do to the force: - p d(x - mean) . dn.
        view.columns.turned(skin_.linkage(), item.normal_hold, turned);
        turned += item.bend.lazyProduct(moved);
        const Mat3 across = (Mat3::Identity() - item.normal * item.normal.transpose()) * (p / item.raw_length);
        pull -= across.lazyProduct(turned);
      }
    }
    if (out.R == nullptr) continue;
    for (Eigen::Index a = 0; a < count; ++a) (*out.R)[dofs[static_cast<std::size_t>(a)]] += R[a];
    if (motions.empty()) continue;
    const Eigen::MatrixXd K = products(motions, pulls, count);
    for (Eigen::Index b = 0; b < count; ++b)
      for (Eigen::Index a = 0; a < count; ++a)
        (*out.K)(dofs[static_cast<std::size_t>(a)], dofs[static_cast<std::size_t>(b)]) += K(a, b);
  }
}

}  // namespace aplomb::contact
