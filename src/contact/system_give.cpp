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

void System::add_give(int point, const Hanging& at, const WallView& view, const Press& press,
                      const LinkSums::Row& area_by_q, Evaluation& out) {
  using OfShapes = LinkSums::OfShapes;
  const LinkSums::Shapes& phi = view.shapes.value;
  const int first = view.give->first_dof, count = view.give->count();
  const double cover = view.at_rest.cover, push = cover * press.pressure;  // force on a shape = A push phi
  out.R->segment(first, count) -= press.area * push * phi;
  if (out.K == nullptr) return;

  // - d force / d amounts: the normal part is symmetric with what the shapes feel of x, friction is not.
  const OfShapes gradient = view.shapes.gradient.transpose();
  const auto turned = [&](const Mat3& M, OfShapes& of) {  // M times each gradient
    for (Eigen::Index k = 0; k < 3; ++k)
      of.col(k) = M(k, 0) * gradient.col(0) + M(k, 1) * gradient.col(1) + M(k, 2) * gradient.col(2);
  };
  const Vec3 by_phi = cover * press.stiffness * view.gradient - press.pressure * view.at_rest.cover_gradient;
  const Mat3 across = (Mat3::Identity() - view.normal * view.normal.transpose()) / view.gradient_length;
  OfShapes of_shapes(count, 3), of_skin(count, 3);
  for (Eigen::Index k = 0; k < 3; ++k)
    of_shapes.col(k) = press.area * by_phi[k] * phi - (press.area * push) * gradient.col(k);
  // The normal turns by across . gradient for each amount.
  Mat3 by_gradient = press.area * (press.by_normal * across);
  Vec3 of_phi = press.area * (by_phi - press.stiffness * press.by_pressure);
  LinkSums::Shapes psi = (press.area * cover * press.stiffness) * phi;
  if (area_by_q.size() > 0) {
    const Vec3 area_by_gradient = -problem_.points[point].area_mm2 * (across.transpose() * view.skin_normal);
    by_gradient -= press.force_per_area * area_by_gradient.transpose();
    psi -= push * (gradient * area_by_gradient);
  }
  by_gradient -= press.area * push * Mat3::Identity();
  turned(by_gradient, of_skin);
  for (Eigen::Index k = 0; k < 3; ++k) of_skin.col(k) += of_phi[k] * phi;
  LinkSums& sums = sums_[static_cast<std::size_t>(view.item->surface)];
  sums.add_among(first, phi, psi);
  sums.add(at, first, of_skin, of_shapes, phi, push * area_by_q);
}

}  // namespace aplomb::contact
