// What gives: its elastic forces, and what the skin that presses on it adds to forces and tangent.
//
// With the gap g(x) + phi . a and the energy A c psi(-gap) per point, the force on an amount is A c p phi, equal and
// opposite to what the skin feels along its normal; friction, which acts along the surface, does no work on the shapes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "evaluation.h"

namespace aplomb::contact {

void System::pose_give(const Eigen::VectorXd& q) {
  for (std::size_t s = 0; s < problem_.surfaces.size(); ++s) {
    const std::optional<Give>& give = problem_.surfaces[s].give;
    if (!give) continue;
    const Eigen::VectorXd amounts = q.segment(give->first_dof, give->count());
    if (give_amounts_[s].size() == amounts.size()) {
      if (give_amounts_[s] == amounts) continue;
      given_[s] += give->shapes->bound(amounts - give_amounts_[s]);
    }
    give_amounts_[s] = amounts;
    give_bound_[s] = give->shapes->bound(give_amounts_[s]);
  }
}

void System::pass_give(Evaluation& out) {
  for (std::size_t s = 0; s < problem_.surfaces.size(); ++s) {
    const std::optional<Give>& give = problem_.surfaces[s].give;
    if (!give) continue;
    const Eigen::VectorXd force = give->stiffness_N_per_mm * give_amounts_[s];
    out.energy += give_amounts_[s].dot(force) / 2;
    if (out.R == nullptr) continue;
    out.R->segment(give->first_dof, give->count()) += force;
    largest_terms_.give = std::max(largest_terms_.give, force.lpNorm<Eigen::Infinity>());
    if (out.K != nullptr)
      out.K->block(give->first_dof, give->first_dof, give->count(), give->count()) += give->stiffness_N_per_mm;
  }
}

void System::add_give(int point, const WallView& view, const Press& press, Evaluation& out) {
  constexpr int most = geometry::GiveSample::max_count;
  using PerShape = Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, most>;
  using Row = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, PointJacobian::max_columns>;
  const auto& phi = view.shapes.value;
  const int first = view.give->first_dof, count = view.give->count();
  const double cover = view.at_rest.cover, push = cover * press.pressure;  // force on a shape = A push phi
  out.R->segment(first, count) -= press.area * push * phi;
  if (out.K == nullptr) return;

  PointJacobian J;
  skin_.jacobian(point, J);
  const auto& dofs = *J.dofs;
  const auto n = static_cast<int>(dofs.size());
  // - d force / d amounts per area: the normal part is symmetric with what the shapes feel of x, friction is not.
  const PerShape normal_part =
      (cover * press.stiffness * view.gradient - press.pressure * view.at_rest.cover_gradient) * phi.transpose() -
      push * view.shapes.gradient;
  const PerShape dm = (view.shapes.gradient - view.normal * (view.normal.transpose() * view.shapes.gradient)) /
                      view.gradient_length;  // d normal / d amounts
  const PerShape whole = normal_part + press.by_normal * dm - press.stiffness * press.by_pressure * phi.transpose();
  Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, PointJacobian::max_columns, most> to_skin =
      press.area * J.columns.transpose() * whole;
  Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, PointJacobian::max_columns, most> to_shapes =
      press.area * J.columns.transpose() * normal_part;
  auto among = out.K->block(first, first, count, count);
  among += (press.area * cover * press.stiffness) * phi * phi.transpose();
  if (areas_follow_) {
    const Vec3 skin_normal = skin_.normal_now(point);
    const double area_mm2 = problem_.points[point].area_mm2;
    FacingGradient by_q;  // d area / d q
    skin_.facing_gradient(point, view.normal, by_q);
    by_q += J.columns.transpose() * (view.turn.transpose() * skin_normal);
    by_q *= -area_mm2;
    const auto by_amounts = (-area_mm2 * dm.transpose() * skin_normal).eval();  // d area / d amounts
    const Row felt = J.columns.transpose() * press.force_per_area;
    to_skin -= felt * by_amounts.transpose();
    to_shapes -= push * by_q * phi.transpose();
    among -= push * phi * by_amounts.transpose();
  }
  for (int a = 0; a < n; ++a) {
    out.K->row(dofs[a]).segment(first, count) += to_skin.row(a);
    out.K->col(dofs[a]).segment(first, count) += to_shapes.row(a).transpose();
  }
}

}  // namespace aplomb::contact
