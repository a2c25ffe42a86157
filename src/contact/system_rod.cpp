// Skin on the rod.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <vector>

#include "aplomb/contact/system.h"
#include "evaluation.h"

namespace aplomb::contact {

namespace {
constexpr double rod_reach_mm =
    15.0;  // a capped step turns the rod's far end by this much: skin nearer than that may come to touch
constexpr double rod_depth_mm = 30.0;  // deeper than any tissue
constexpr double rod_fresh_mm = 1.5;   // what is nearer to touching than this is looked at in each step
}  // namespace

void System::freeze_rod(const PosedRod& rod) {
  if (!rod_frozen_.angle.empty()) rod_travel_mm_ += moved_at_most(*problem_.rod, rod_frozen_, rod);
  rod_frozen_ = rod;
  for (RodItem& item : rod_items_) {
    const Vec3& x = skin_.position(item.point);
    const double left_mm = item.clear_mm - (rod_travel_mm_ - item.travel_mm);
    if (left_mm > 0 && (x - item.x).squaredNorm() < left_mm * left_mm) continue;
    item.x = x;
    item.travel_mm = rod_travel_mm_;
    const auto s = place(*problem_.rod, rod, x, rod_reach_mm, rod_depth_mm, &item.clear_mm);
    item.in_reach = false;
    if (!s) continue;
    item.gap_mm = s->gap_mm;
    item.clear_mm = s->gap_mm - over_mm_[static_cast<std::size_t>(item.point)] - rod_fresh_mm;
    const Vec3 normal(s->normal_xz.x(), 0, s->normal_xz.y());
    const double facing = -skin_.normal_now(item.point).dot(normal);
    if (facing <= 0) continue;
    item.in_reach = true;
    item.cover = s->cover;
    item.area = problem_.points[static_cast<std::size_t>(item.point)].area_mm2 * facing * s->cover;
  }
}

void System::pass_rod(const PosedRod& rod, Evaluation& out) {
  const Rod& spec = *problem_.rod;
  const int n = spec.element_count();
  Eigen::VectorXd largest = Eigen::VectorXd::Zero(n);
  RodMatrix H(2 + n, 2 + n);
  PointJacobian J;
  Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, PointJacobian::max_columns> pull;
  const double travel_mm = rod_travel_mm_ + moved_at_most(spec, rod_frozen_, rod);
  for (const RodItem& item : rod_items_) {
    if (!item.in_reach || (item.area == 0 && !areas_follow_)) continue;
    const double within = ramp_half_width_mm + over_mm_[item.point];
    const double left_mm = item.gap_mm - within - (travel_mm - item.travel_mm);
    if (left_mm > 0 && (skin_.position(item.point) - item.x).squaredNorm() < left_mm * left_mm) continue;
    const auto s = contact::sample(spec, rod, skin_.position(item.point), within, rod_depth_mm, out.K != nullptr);
    if (!s) continue;
    const SkinPoint& point = problem_.points[item.point];
    const Jet r = ramp(over_mm_[item.point] - s->gap_mm);
    const Jet w = press(point, r.value).jet;
    const Vec3 normal(s->normal_xz.x(), 0, s->normal_xz.y());
    const double whole = point.area_mm2 * item.cover;
    const Vec3 n_skin = areas_follow_ ? skin_.normal_now(item.point) : Vec3::Zero();
    const double A = areas_follow_ ? whole * std::max(0.0, -n_skin.dot(normal)) : item.area;
    if (A == 0) continue;
    out.energy += A * w.value;
    if (out.R == nullptr) continue;
    const double p = A * w.first * r.first;
    const double k = A * (w.second * r.first * r.first + w.first * r.second);
    // Energy psi(g): R = -p dg, K = k dg dg^T - p d2g, over (x, z of the skin; angles of the rod).
    const Vec3 force(p * s->normal_xz.x(), 0, p * s->normal_xz.y());
    const int moving = s->active - 2;  // angles beyond the closest point do not move it
    for (int j = 0; j < moving; ++j) {
      const double term = -p * s->gradient[2 + j];
      (*out.R)[spec.first_dof + j] += term;
      largest[j] += std::abs(term);
    }
    skin_.jacobian(item.point, J);
    add_point_force(item.point, J, force, out);
    if (out.K == nullptr) continue;
    const auto g = s->gradient.head(s->active);
    H.topLeftCorner(s->active, s->active).noalias() = k * g * g.transpose();
    H.topLeftCorner(s->active, s->active) -= p * s->hessian.topLeftCorner(s->active, s->active);
    Mat3 D = Mat3::Zero();
    D(0, 0) = H(0, 0), D(0, 2) = H(0, 1), D(2, 0) = H(1, 0), D(2, 2) = H(1, 1);
    pull = D.lazyProduct(J.columns);
    for (std::size_t b = 0; b < J.dofs->size(); ++b)
      for (std::size_t a = 0; a < J.dofs->size(); ++a)
        (*out.K)((*J.dofs)[a], (*J.dofs)[b]) +=
            J.columns.col(static_cast<Eigen::Index>(a)).dot(pull.col(static_cast<Eigen::Index>(b)));
    for (std::size_t a = 0; a < J.dofs->size(); ++a)
      for (int j = 0; j < moving; ++j) {
        const double value = J.columns(0, a) * H(0, 2 + j) + J.columns(2, a) * H(1, 2 + j);
        (*out.K)((*J.dofs)[a], spec.first_dof + j) += value;
        (*out.K)(spec.first_dof + j, (*J.dofs)[a]) += value;
      }
    out.K->block(spec.first_dof, spec.first_dof, moving, moving) += H.block(2, 2, moving, moving);
    if (!areas_follow_) continue;
    // A = - whole n_skin . n_rod: the skin turns with the foot, the rod's normal is the gap's gradient. With p1 the
    // force per area, R = - A p1 dg gives K -= p1 dg dA.
    const double p1 = w.first * r.first;
    FacingGradient skin_turns;
    skin_.facing_gradient(item.point, normal, skin_turns);
    const RodVector rod_turns =
        n_skin.x() * s->hessian.col(0).head(s->active) + n_skin.z() * s->hessian.col(1).head(s->active);
    const Eigen::Index m = static_cast<Eigen::Index>(J.dofs->size());
    std::vector<int> at(static_cast<std::size_t>(m + moving));
    Eigen::VectorXd dg(m + moving), dA(m + moving);
    for (Eigen::Index a = 0; a < m; ++a) {
      at[a] = (*J.dofs)[a];
      dg[a] = J.columns(0, a) * s->gradient[0] + J.columns(2, a) * s->gradient[1];
      dA[a] = -whole * (skin_turns[a] + J.columns(0, a) * rod_turns[0] + J.columns(2, a) * rod_turns[1]);
    }
    for (int j = 0; j < moving; ++j) {
      at[m + j] = spec.first_dof + j;
      dg[m + j] = s->gradient[2 + j];
      dA[m + j] = -whole * rod_turns[2 + j];
    }
    for (std::size_t b = 0; b < at.size(); ++b)
      for (std::size_t a = 0; a < at.size(); ++a) (*out.K)(at[a], at[b]) -= p1 * dg[a] * dA[b];
  }
  if (out.R && n > 0) largest_terms_.rod = std::max(largest_terms_.rod, largest.maxCoeff());
}

}  // namespace aplomb::contact
