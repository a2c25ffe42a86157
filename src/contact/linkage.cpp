// Poses a linkage: transforms of all links and the world axes that move each of them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/linkage.h"

namespace aplomb::contact {

void pose(const Linkage& linkage, const Eigen::VectorXd& q, PosedLinkage& posed) {
  posed.T_world_link.resize(linkage.links.size());
  posed.chain.resize(linkage.links.size());
  for (std::size_t l = 0; l < linkage.links.size(); ++l) {
    const Link& link = linkage.links[l];
    Isometry T = link.parent < 0 ? linkage.T_world_rest : posed.T_world_link[link.parent];
    std::vector<PosedAxis>& chain = posed.chain[l];
    if (link.parent >= 0)
      chain = posed.chain[link.parent];
    else
      chain.clear();
    for (const LinkageAxis& axis : link.axes) {
      const double value = axis.offset + axis.ratio * q[axis.dof];
      // The axis stands where the motions outside it have put it; turning about itself does not move it.
      const PosedAxis& world =
          chain.emplace_back(PosedAxis{axis.kind, axis.dof, axis.ratio, T.linear() * axis.axis, T * axis.centre});
      if (axis.kind == LinkageAxis::Kind::turn) {
        const Mat3 R = Eigen::AngleAxisd(value, axis.axis).toRotationMatrix();
        T.linear() = (T.linear() * R).eval();
        T.translation() = world.centre_world - T.linear() * axis.centre;
      } else {
        T.translation() += world.axis_world * value;
      }
    }
    posed.T_world_link[l] = T;
  }
}

PosedLinkage pose(const Linkage& linkage, const Eigen::VectorXd& q) {
  PosedLinkage posed;
  pose(linkage, q, posed);
  return posed;
}

}  // namespace aplomb::contact
