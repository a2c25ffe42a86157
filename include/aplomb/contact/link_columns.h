// What each unknown does to a vector that hangs on several links of one linkage: a column for each unknown.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/contact/linkage.h"

namespace aplomb::contact {

/// R Y + W t of one link.
struct LinkHold {
  int link = 0;
  double weight = 0;                ///< W
  Vec3 moment_rest = Vec3::Zero();  ///< Y, rest frame
};

class LinkColumns {
 public:
  using Columns = Eigen::Matrix<double, 3, Eigen::Dynamic>;

  LinkColumns() = default;
  /// Of vectors that hang on no other links than these.
  LinkColumns(const Linkage& linkage, const std::vector<int>& links);

  /// Column -> unknown: all that move any of the links.
  const std::vector<int>& dofs() const { return dofs_; }
  /// d (sum of the holds) / d q. Pre: `posed` is of that linkage.
  void moved(const PosedLinkage& posed, const std::vector<LinkHold>& holds, Columns& out);
  /// The same of a direction: as all of it turns, none of it slides.
  void turned(const PosedLinkage& posed, const std::vector<LinkHold>& holds, Columns& out);

 private:
  struct Carrier {              ///< a link, or one that carries it
    int link = 0, parent = -1;  ///< place in carriers_
    std::vector<int> columns;   ///< of each of its own axes
  };
  struct Hung {  ///< all that hangs on a carrier and below
    Vec3 arm = Vec3::Zero();
    double weight = 0;
  };
  void columns_of(const PosedLinkage& posed, Columns& out);

  std::vector<Carrier> carriers_;  ///< parents first
  std::vector<int> carrier_of_;    ///< by link; -1: none
  std::vector<int> dofs_;
  std::vector<Hung> hung_;  ///< by carrier
};

}  // namespace aplomb::contact
