// The rod on the floor: each of its nodes stands on a stiff, one-sided spring.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/system.h"
#include "evaluation.h"

namespace aplomb::contact {

void System::pass_rod_floor(const PosedRod& rod, Evaluation& out) {
  const RodFloor& floor = *problem_.rod_floor;
  const Rod& spec = *problem_.rod;
  const Vec2 normal(floor.normal.x(), floor.normal.z()), point(floor.point.x(), floor.point.z());
  const int n = spec.element_count();
  for (int k = 1; k <= n; ++k) {
    const Jet r = ramp(-normal.dot(rod.node_xz[k] - point));
    if (r.value == 0) continue;
    const double stiffness = floor.stiffness_N_per_mm[k - 1];
    out.energy += stiffness * r.value * r.value / 2;
    if (out.R == nullptr) continue;
    // Energy psi(g): R = -p dg, K = k dg dg^T - p d2g.
    const double p = stiffness * r.value * r.first;
    const Eigen::VectorXd dg = rod.node_gradient[k].transpose() * normal;
    out.R->segment(spec.first_dof, n) -= p * dg;
    largest_terms_.rod = std::max(largest_terms_.rod, p * dg.cwiseAbs().maxCoeff());
    if (out.K == nullptr) continue;
    auto block = out.K->block(spec.first_dof, spec.first_dof, n, n);
    block += stiffness * (r.first * r.first + r.value * r.second) * dg * dg.transpose();
    const Eigen::MatrixXd bend = node_hessian(spec, rod, k, normal);
    block.topLeftCorner(bend.rows(), bend.cols()) -= p * bend;
  }
}

}  // namespace aplomb::contact
