// What hangs on a link is added to what its parent carries, from the tips up: each axis is then asked for once.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/link_columns.h"

#include <algorithm>

namespace aplomb::contact {

LinkColumns::LinkColumns(const Linkage& linkage, const std::vector<int>& links)
    : carrier_of_(linkage.links.size(), -1) {
  std::vector<bool> needed(linkage.links.size(), false);
  for (int link : links)
    for (; link >= 0 && !needed[static_cast<std::size_t>(link)];
         link = linkage.links[static_cast<std::size_t>(link)].parent)
      needed[static_cast<std::size_t>(link)] = true;
  for (std::size_t l = 0; l < linkage.links.size(); ++l) {
    if (!needed[l]) continue;
    const Link& link = linkage.links[l];
    Carrier carrier{static_cast<int>(l), link.parent < 0 ? -1 : carrier_of_[static_cast<std::size_t>(link.parent)], {}};
    for (const LinkageAxis& axis : link.axes) {
      const auto known = std::find(dofs_.begin(), dofs_.end(), axis.dof);
      carrier.columns.push_back(static_cast<int>(known - dofs_.begin()));
      if (known == dofs_.end()) dofs_.push_back(axis.dof);
    }
    carrier_of_[l] = static_cast<int>(carriers_.size());
    carriers_.push_back(std::move(carrier));
  }
}

void LinkColumns::moved(const PosedLinkage& posed, const std::vector<LinkHold>& holds, Columns& out) {
  hung_.assign(carriers_.size(), {});
  for (const LinkHold& hold : holds) {
    Hung& at = hung_[static_cast<std::size_t>(carrier_of_[static_cast<std::size_t>(hold.link)])];
    const Isometry& T = posed.T_world_link[static_cast<std::size_t>(hold.link)];
    at.arm += T.linear() * hold.moment_rest + hold.weight * T.translation();
    at.weight += hold.weight;
  }
  columns_of(posed, out);
}

void LinkColumns::turned(const PosedLinkage& posed, const std::vector<LinkHold>& holds, Columns& out) {
  hung_.assign(carriers_.size(), {});
  for (const LinkHold& hold : holds)
    hung_[static_cast<std::size_t>(carrier_of_[static_cast<std::size_t>(hold.link)])].arm +=
        posed.T_world_link[static_cast<std::size_t>(hold.link)].linear() * hold.moment_rest;
  columns_of(posed, out);
}

void LinkColumns::columns_of(const PosedLinkage& posed, Columns& out) {
  out.setZero(3, static_cast<Eigen::Index>(dofs_.size()));
  for (std::size_t c = carriers_.size(); c-- > 0;) {
    const Carrier& carrier = carriers_[c];
    const Hung& hung = hung_[c];
    const std::vector<PosedAxis>& chain = posed.chain[static_cast<std::size_t>(carrier.link)];
    const PosedAxis* own = chain.data() + (chain.size() - carrier.columns.size());
    for (std::size_t k = 0; k < carrier.columns.size(); ++k) {
      const PosedAxis& axis = own[k];
      if (axis.kind == LinkageAxis::Kind::turn)
        out.col(carrier.columns[k]) += axis.ratio * axis.axis_world.cross(hung.arm - hung.weight * axis.centre_world);
      else
        out.col(carrier.columns[k]) += (axis.ratio * hung.weight) * axis.axis_world;
    }
    if (carrier.parent < 0) continue;
    Hung& up = hung_[static_cast<std::size_t>(carrier.parent)];
    up.arm += hung.arm;
    up.weight += hung.weight;
  }
}

}  // namespace aplomb::contact
