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

void System::add_give(int point, const PointJacobian& J, const WallView& view, const Press& press,
                      const FacingGradient* area_by_q, Evaluation& out) {
  constexpr int most = geometry::GiveSample::max_count;
  using PerShape = ChainSums::PullByShapes;
  const auto& phi = view.shapes.value;
  const int first = view.give->first_dof, count = view.give->count();
  const double cover = view.at_rest.cover, push = cover * press.pressure;  // force on a shape = A push phi
  out.R->segment(first, count) -= press.area * push * phi;
  if (out.K == nullptr) return;
  Eigen::MatrixXd& K = *out.K;

  // - d force / d amounts: the normal part is symmetric with what the shapes feel of x, friction is not.
  const Vec3 by_phi = cover * press.stiffness * view.gradient - press.pressure * view.at_rest.cover_gradient;
  PerShape of_shapes = by_phi.lazyProduct(phi.transpose()) - push * view.shapes.gradient;
  const Mat3 across = (Mat3::Identity() - view.normal * view.normal.transpose()) / view.gradient_length;
  const PerShape dm = across.lazyProduct(view.shapes.gradient);  // d normal / d amounts
  PerShape of_skin =
      of_shapes + press.by_normal.lazyProduct(dm) - (press.stiffness * press.by_pressure).lazyProduct(phi.transpose());
  of_shapes *= press.area;
  of_skin *= press.area;
  auto among = K.block(first, first, count, count);
  if (area_by_q == nullptr) {
    among += (press.area * cover * press.stiffness * phi).lazyProduct(phi.transpose());
  } else {
    const auto by_amounts =
        (-problem_.points[point].area_mm2 * dm.transpose() * view.skin_normal).eval();  // of the area
    of_skin -= press.force_per_area.lazyProduct(by_amounts.transpose());
    among += phi.lazyProduct((press.area * cover * press.stiffness * phi - push * by_amounts).transpose());
  }
  const auto& dofs = *J.dofs;
  const auto n = static_cast<Eigen::Index>(dofs.size());
  sums_[static_cast<std::size_t>(view.item->surface)].add(J, of_skin, first);
  const Eigen::Matrix<double, Eigen::Dynamic, 3, 0, most, 3> shapes = of_shapes.transpose();
  for (Eigen::Index a = 0; a < n; ++a) {
    auto column = K.col(dofs[static_cast<std::size_t>(a)]).segment(first, count);
    column += J.columns(0, a) * shapes.col(0) + J.columns(1, a) * shapes.col(1) + J.columns(2, a) * shapes.col(2);
    if (area_by_q != nullptr) column -= (push * (*area_by_q)[a]) * phi;
  }
}

}  // namespace aplomb::contact
