// Sums by chain, carried from the tips of the linkage up.
//
// With the twist (v, w) of the link that carries a point, dx = weight v + w x arm + beyond dq: the force f does
// (weight f, arm x f) on the twist. An axis of the link's own or above is a twist for each unit of its unknown,
//   turn: (c x a, a) ratio,   slide: (a, 0) ratio,
// so that K(a, b) = t_a^T M t_b with M the sum of all that hangs on the link of the inner one of the two.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/link_sums.h"

namespace aplomb::contact {

namespace {

constexpr Eigen::Index own = 6;

Eigen::Matrix<double, 6, 1> twist_of(const PosedAxis& axis) {
  Eigen::Matrix<double, 6, 1> t;
  if (axis.kind == LinkageAxis::Kind::turn)
    t << axis.ratio * axis.centre_world.cross(axis.axis_world), axis.ratio * axis.axis_world;
  else
    t << axis.ratio * axis.axis_world, Vec3::Zero();
  return t;
}

}  // namespace

void pull_of(const Mat3& D, const Hanging& at, LinkSums::Columns& out) {
  out.resize(3, own + at.beyond.cols());
  out.leftCols<3>() = at.weight * D;
  const Vec3& y = at.arm;
  out.col(3) = D.col(2) * y.y() - D.col(1) * y.z();
  out.col(4) = D.col(0) * y.z() - D.col(2) * y.x();
  out.col(5) = D.col(1) * y.x() - D.col(0) * y.y();
  for (Eigen::Index e = 0; e < at.beyond.cols(); ++e) out.col(own + e).noalias() = D * at.beyond.col(e);
}

void row_of(const Hanging& at, const Vec3& direction, LinkSums::Row& out) {
  out.resize(own + at.beyond.cols());
  out.head<3>() = at.weight * direction;
  out.segment<3>(3) = at.arm.cross(direction);
  for (Eigen::Index e = 0; e < at.beyond.cols(); ++e) out[own + e] = at.beyond.col(e).dot(direction);
}

LinkSums::Sum& LinkSums::of(const Hanging& at) {
  const auto chain = static_cast<std::size_t>(at.chain);
  if (chain >= sums_.size()) sums_.resize(chain + 1);
  Sum& sum = sums_[chain];
  if (!sum.used) {
    used_.push_back(at.chain);
    sum.used = true;
    sum.link = at.link;
    sum.dofs = at.dofs;
    sum.force.setZero(own + at.beyond.cols());
  }
  return sum;
}

void LinkSums::add_force(const Hanging& at, const Vec3& force) {
  Sum& sum = of(at);
  sum.force.head<3>() += at.weight * force;
  sum.force.segment<3>(3) += at.arm.cross(force);
  for (Eigen::Index e = 0; e < at.beyond.cols(); ++e) sum.force[own + e] += at.beyond.col(e).dot(force);
}

void LinkSums::add(const Hanging& at, const Columns& pull) {
  Sum& sum = of(at);
  const Eigen::Index n = pull.cols();
  if (!sum.pulled) sum.among.setZero(n, n);
  sum.pulled = true;
  for (Eigen::Index b = 0; b < n; ++b) {
    const Vec3 p = pull.col(b);
    auto column = sum.among.col(b);
    column.head<3>() += at.weight * p;
    column.segment<3>(3) += at.arm.cross(p);
    for (Eigen::Index e = 0; e < at.beyond.cols(); ++e) column[own + e] += at.beyond.col(e).dot(p);
  }
}

void LinkSums::add(const Hanging& at, int first_dof, const OfShapes& skin, const OfShapes& shapes, const Shapes& phi,
                   const Row& along) {
  Sum& sum = of(at);
  const Eigen::Index n = own + at.beyond.cols();
  first_dof_ = first_dof, count_ = static_cast<int>(skin.rows());
  if (!sum.gives) sum.felt.setZero(count_, n), sum.pushed.setZero(count_, n);
  sum.gives = true;
  const Vec3& y = at.arm;
  const auto add_to = [&](Eigen::MatrixXd& to, const OfShapes& of) {
    for (Eigen::Index k = 0; k < 3; ++k) to.col(k) += at.weight * of.col(k);
    to.col(3) += y.y() * of.col(2) - y.z() * of.col(1);
    to.col(4) += y.z() * of.col(0) - y.x() * of.col(2);
    to.col(5) += y.x() * of.col(1) - y.y() * of.col(0);
    for (Eigen::Index e = 0; e < at.beyond.cols(); ++e)
      to.col(own + e) += at.beyond(0, e) * of.col(0) + at.beyond(1, e) * of.col(1) + at.beyond(2, e) * of.col(2);
  };
  add_to(sum.felt, skin);
  add_to(sum.pushed, shapes);
  for (Eigen::Index c = 0; c < along.size(); ++c) sum.pushed.col(c) -= along[c] * phi;
}

void LinkSums::add_among(int first_dof, const Shapes& phi, const Shapes& psi) {
  first_dof_ = first_dof, count_ = static_cast<int>(phi.size());
  phi_.insert(phi_.end(), phi.data(), phi.data() + phi.size());
  psi_.insert(psi_.end(), psi.data(), psi.data() + psi.size());
}

/// What the columns beyond the link give with each other, with the axes that move the link, and with what gives.
void LinkSums::spread_beyond(const Sum& sum, const std::vector<PosedAxis>& axes, Eigen::VectorXd& R,
                             Eigen::MatrixXd* K) const {
  const std::vector<int>& dofs = *sum.dofs;
  for (std::size_t e = 0; e < dofs.size(); ++e) {
    const Eigen::Index at = own + static_cast<Eigen::Index>(e);
    R[dofs[e]] -= sum.force[at];
    if (K == nullptr) continue;
    if (sum.pulled) {
      for (std::size_t f = 0; f < dofs.size(); ++f)
        (*K)(dofs[f], dofs[e]) += sum.among(own + static_cast<Eigen::Index>(f), at);
      const Twist by_it = sum.among.col(at).head<own>(), of_it = sum.among.row(at).head<own>();
      for (const PosedAxis& axis : axes) {
        const Twist t = twist_of(axis);
        (*K)(axis.dof, dofs[e]) += t.dot(by_it);
        (*K)(dofs[e], axis.dof) += t.dot(of_it);
      }
    }
    if (!sum.gives) continue;
    K->row(dofs[e]).segment(first_dof_, count_) += sum.felt.col(at).transpose();
    K->col(dofs[e]).segment(first_dof_, count_) += sum.pushed.col(at);
  }
}

void LinkSums::carry(const Sum& sum) {
  Carried& link = carried_[static_cast<std::size_t>(sum.link)];
  link.any = true;
  link.force += sum.force.head<own>();
  if (sum.pulled) link.among += sum.among.topLeftCorner<own, own>();
  if (!sum.gives) return;
  if (link.felt.rows() == 0) link.felt.setZero(count_, own), link.pushed.setZero(count_, own);
  link.felt += sum.felt.leftCols<own>();
  link.pushed += sum.pushed.leftCols<own>();
}

void LinkSums::spread(const SkinKinematics& skin, Eigen::VectorXd& R, Eigen::MatrixXd* K) {
  const PosedLinkage& posed = skin.linkage();
  carried_.assign(posed.chain.size(), {});
  for (const int chain : used_) {
    Sum& sum = sums_[static_cast<std::size_t>(chain)];
    spread_beyond(sum, posed.chain[static_cast<std::size_t>(sum.link)], R, K);
    carry(sum);
    sum.used = sum.pulled = sum.gives = false;
  }
  used_.clear();
  std::vector<Twist> twists;
  for (std::size_t l = carried_.size(); l-- > 0;) {
    const Carried& here = carried_[l];
    if (!here.any) continue;
    const std::vector<PosedAxis>& axes = posed.chain[l];
    const int parent = skin.parent(static_cast<int>(l));
    const std::size_t above = parent < 0 ? 0 : posed.chain[static_cast<std::size_t>(parent)].size();
    twists.clear();
    if (axes.size() > above)
      for (const PosedAxis& axis : axes) twists.push_back(twist_of(axis));
    for (std::size_t b = above; b < axes.size(); ++b) {
      R[axes[b].dof] -= twists[b].dot(here.force);
      if (K == nullptr) continue;
      const Twist by_it = here.among * twists[b], of_it = here.among.transpose() * twists[b];
      for (std::size_t a = 0; a <= b; ++a) {
        (*K)(axes[a].dof, axes[b].dof) += twists[a].dot(by_it);
        if (a != b) (*K)(axes[b].dof, axes[a].dof) += twists[a].dot(of_it);
      }
      if (here.felt.rows() == 0) continue;
      K->row(axes[b].dof).segment(first_dof_, count_) += (here.felt * twists[b]).transpose();
      K->col(axes[b].dof).segment(first_dof_, count_) += here.pushed * twists[b];
    }
    if (parent < 0) continue;
    Carried& up = carried_[static_cast<std::size_t>(parent)];
    up.any = true;
    up.force += here.force;
    up.among += here.among;
    if (here.felt.rows() == 0) continue;
    if (up.felt.rows() == 0) up.felt.setZero(count_, own), up.pushed.setZero(count_, own);
    up.felt += here.felt;
    up.pushed += here.pushed;
  }
  if (K != nullptr && !phi_.empty()) {
    const auto points = static_cast<Eigen::Index>(phi_.size()) / count_;
    const Eigen::Map<const Eigen::MatrixXd> phi(phi_.data(), count_, points), psi(psi_.data(), count_, points);
    K->block(first_dof_, first_dof_, count_, count_).noalias() += phi * psi.transpose();
  }
  phi_.clear(), psi_.clear();
}

}  // namespace aplomb::contact
