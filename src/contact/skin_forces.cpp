// Forces on skin gathered by link, and the stiffness that comes of their turning with it.
//
// Two axes a (outer), b (inner or equal) of one link move a point y of it by d2x = a x (b x (y - c_b)): linear in y, so
// the geometric stiffness of all points needs only sum f and sum f y^T by link.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "aplomb/contact/skin.h"

namespace aplomb::contact {

void SkinKinematics::clear_forces() {
  std::fill(link_force_.begin(), link_force_.end(), Vec3::Zero());
  std::fill(link_moment_.begin(), link_moment_.end(), Mat3::Zero());
}

void SkinKinematics::add_force(int i, const Vec3& force) {
  const SkinPoint& point = problem_.points[i];
  for (int j = 0; j < 4; ++j) {
    if (!(point.weights[j] > 0)) continue;
    const Vec3 f = point.weights[j] * force;
    link_force_[point.links[j]] += f;
    link_moment_[point.links[j]] += f * (posed_.T_world_link[point.links[j]] * point.position_rest).transpose();
  }
}

void SkinKinematics::add_link_force(int link, const Vec3& rest, const Vec3& force) {
  link_force_[link] += force;
  link_moment_[link] += force * link_position(link, rest).transpose();
}

void SkinKinematics::add_held_force(int link, double weight, const Vec3& moment_rest, const Vec3& force) {
  const Isometry& T = posed_.T_world_link[link];
  link_force_[link] += weight * force;
  link_moment_[link] += force * (T.linear() * moment_rest + weight * T.translation()).transpose();
}

void SkinKinematics::add_geometric_stiffness(Eigen::MatrixXd& K) const {
  using Kind = LinkageAxis::Kind;
  // An axis moves all that hangs below it: summed from the tips up, each pair of axes is asked for once.
  const auto& links = problem_.linkage.links;
  std::vector<Vec3> force = link_force_;
  std::vector<Mat3> moment = link_moment_;
  for (std::size_t l = links.size(); l-- > 0;) {
    if (links[l].parent < 0) continue;
    force[static_cast<std::size_t>(links[l].parent)] += force[l];
    moment[static_cast<std::size_t>(links[l].parent)] += moment[l];
  }
  for (std::size_t l = 0; l < links.size(); ++l) {
    const Vec3& F = force[l];
    const Mat3& G = moment[l];
    if (F.isZero(0) && G.isZero(0)) continue;
    const auto& chain = posed_.chain[l];
    for (std::size_t b = chain.size() - links[l].axes.size(); b < chain.size(); ++b) {
      for (std::size_t a = 0; a <= b; ++a) {
        const PosedAxis& outer = chain[a];
        const PosedAxis& inner = chain[b];
        double value = 0;  // sum of f . d2x
        if (outer.kind == Kind::turn && inner.kind == Kind::turn) {
          // f . (a x (b x r)) = f . (b (a.r) - r (a.b)), r = y - c_b
          const Mat3 fr = G - F * inner.centre_world.transpose();
          value = inner.axis_world.dot(fr * outer.axis_world) - fr.trace() * outer.axis_world.dot(inner.axis_world);
        } else if (outer.kind == Kind::turn) {
          value = F.dot(outer.axis_world.cross(inner.axis_world));
        }
        if (value == 0) continue;
        value *= outer.ratio * inner.ratio;
        K(outer.dof, inner.dof) -= value;
        if (a != b) K(inner.dof, outer.dof) -= value;
      }
    }
  }
}

}  // namespace aplomb::contact
