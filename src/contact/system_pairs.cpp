// Skin on skin: neighbouring patches press on each other through both layers in series.
//
// A point sees the partner patch as a plane through a smooth weighted mean of its nearest points, facing along the mean of
// both patches' normals. Weights and normal are frozen for a step; the positions are not, so the forces on both sides are equal
// and opposite at any q. The weighted mean lies inside a convex patch by about spacing^2 / (2 radius), some 0.1 mm for a toe.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "aplomb/contact/system.h"
#include "evaluation.h"

namespace aplomb::contact {

namespace {
constexpr double partner_radius_mm = 5.0;  // partners farther than this across the plane have no weight
constexpr double pair_reach_mm = 3.0;      // pairs this far apart may come to touch within a step
}  // namespace

void System::freeze_pairs() {
  pair_items_.clear();
  auto one_side = [this](const std::vector<int>& from, const std::vector<int>& onto) {
    for (int i : from) {
      const Vec3& x = skin_.position(i);
      const Vec3 n_i = skin_.normal(i);
      PairItem item;
      item.point = i;
      double total = 0, h = 0, M = 0;
      Vec3 mean = Vec3::Zero(), mean_normal = Vec3::Zero();
      for (int j : onto) {
        const Vec3 d = skin_.position(j) - x;
        // Distance across this point's own normal decides who is opposite; along it the patches may overlap or stand off.
        const double along = d.dot(n_i);
        if (std::abs(along) > partner_radius_mm + pair_reach_mm) continue;
        const double across2 = d.squaredNorm() - along * along;
        const double u = across2 / (partner_radius_mm * partner_radius_mm);
        if (u >= 1) continue;
        const Vec3 n_j = skin_.normal(j);
        const double facing = -n_j.dot(n_i);
        if (facing <= 0) continue;
        const SkinPoint& partner = problem_.points[j];
        // Wendland-like bump, C2 at its edge, sharpened so that the nearest few points carry it.
        const double bump = std::pow(1 - u, 6);
        const double w = bump * facing * partner.area_mm2;
        item.partners.push_back(j);
        item.weights.push_back(w);
        total += w;
        mean += w * skin_.position(j);
        mean_normal += w * n_j;
        h += w * partner.layer.thickness_mm;
        M += w * partner.layer.modulus_MPa;
      }
      if (total <= 0) continue;
      for (double& w : item.weights) w /= total;
      mean /= total;
      item.partner_layer = {M / total, h / total};
      const Vec3 n = mean_normal / total - n_i;
      if (n.norm() < 0.5) continue;
      item.normal = n.normalized();
      if (item.normal.dot(x - mean) > pair_reach_mm) continue;
      item.area = 0.5 * problem_.points[i].area_mm2 * std::max(0.0, -n_i.dot(item.normal));
      pair_items_.push_back(std::move(item));
    }
  };
  for (const SkinPair& pair : problem_.pairs) {
    one_side(pair.a, pair.b);
    one_side(pair.b, pair.a);
  }
}

bool System::pass_pairs(Evaluation& out) {
  Eigen::VectorXd row(out.K ? problem_.dof_count : 0);
  std::vector<int> used;
  for (const PairItem& item : pair_items_) {
    Vec3 mean = Vec3::Zero();
    for (std::size_t k = 0; k < item.partners.size(); ++k) mean += item.weights[k] * skin_.position(item.partners[k]);
    const double gap = item.normal.dot(skin_.position(item.point) - mean);
    if (gap >= ramp_half_width_mm) continue;
    const Layer& own = problem_.points[item.point].layer;
    const Jet r = ramp(-gap);
    if (r.value >= 0.98 * (own.thickness_mm + item.partner_layer.thickness_mm)) return false;
    const SeriesJet series = series_energy(own, item.partner_layer, r.value);
    if (series.first_compression_mm >= 0.98 * own.thickness_mm ||
        r.value - series.first_compression_mm >= 0.98 * item.partner_layer.thickness_mm)
      return false;
    const Jet& w = series.jet;
    out.energy += item.area * w.value;
    if (out.R == nullptr) continue;
    const double p = item.area * w.first * r.first;
    const double k = item.area * (w.second * r.first * r.first + w.first * r.second);
    const Vec3 force = p * item.normal;
    add_point_force(item.point, force, nullptr, out);
    for (std::size_t j = 0; j < item.partners.size(); ++j) add_point_force(item.partners[j], -item.weights[j] * force, nullptr, out);
    if (out.K == nullptr) continue;
    // The gap is linear in the positions (weights and normal are frozen): K += k dg dg^T, the rest is geometric stiffness.
    row.setZero();
    used.clear();
    PointJacobian J;
    auto scatter = [&](int point, double weight) {
      skin_.jacobian(point, J);
      for (std::size_t a = 0; a < J.dofs->size(); ++a) {
        const int dof = (*J.dofs)[a];
        if (row[dof] == 0) used.push_back(dof);
        row[dof] += weight * J.columns.col(a).dot(item.normal);
      }
    };
    scatter(item.point, 1);
    for (std::size_t j = 0; j < item.partners.size(); ++j) scatter(item.partners[j], -item.weights[j]);
    std::sort(used.begin(), used.end());
    used.erase(std::unique(used.begin(), used.end()), used.end());
    for (int a : used)
      for (int b : used) (*out.K)(a, b) += k * row[a] * row[b];
  }
  return true;
}

}  // namespace aplomb::contact
