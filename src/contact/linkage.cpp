// Poses a linkage: transforms of all links and the world axes that move each of them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/linkage.h"

namespace aplomb::contact {

PosedLinkage pose(const Linkage& linkage, const Eigen::VectorXd& q) {
  PosedLinkage posed;
  posed.T_world_link.reserve(linkage.links.size());
  posed.chain.reserve(linkage.links.size());
  for (const Link& link : linkage.links) {
    Isometry T = link.parent < 0 ? linkage.T_world_rest : posed.T_world_link[link.parent];
    std::vector<PosedAxis> chain;
    if (link.parent >= 0) chain = posed.chain[link.parent];
    for (const LinkageAxis& axis : link.axes) {
      const double value = axis.offset + axis.ratio * q[axis.dof];
      // The axis stands where the motions outside it have put it; turning about itself does not move it.
      PosedAxis world{axis.kind, axis.dof, axis.ratio, T.linear() * axis.axis, T * axis.centre};
      if (axis.kind == LinkageAxis::Kind::turn) {
        const Mat3 R = Eigen::AngleAxisd(value, axis.axis).toRotationMatrix();
        Isometry A = Isometry::Identity();
        A.linear() = R;
        A.translation() = axis.centre - R * axis.centre;
        T = T * A;
      } else {
        T.translation() += T.linear() * axis.axis * value;
      }
      chain.push_back(world);
    }
    posed.T_world_link.push_back(T);
    posed.chain.push_back(std::move(chain));
  }
  return posed;
}

}  // namespace aplomb::contact
