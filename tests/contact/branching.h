// A linkage with all that a linkage can have, for what sums over links.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/linkage.h"

namespace aplomb::contact::test {

/// A trunk with two branches and a root of its own; unknowns that drive several axes, on one branch and across links.
/// 16 unknowns, of which 0 to 12 move something.
inline Linkage branching() {
  using Kind = LinkageAxis::Kind;
  const auto turn = [](int dof, double ratio = 1) {
    return LinkageAxis{Kind::turn, dof, ratio, Vec3::Random().normalized(), 30 * Vec3::Random(), 0};
  };
  const auto slide = [](int dof) {
    return LinkageAxis{Kind::slide, dof, 1, Vec3::Random().normalized(), Vec3::Zero(), 0};
  };
  Linkage linkage;
  linkage.links = {{"root", -1, {slide(0), slide(1), slide(2), turn(3)}},
                   {"trunk", 0, {turn(4), turn(5)}},
                   {"left", 1, {turn(6), turn(4, 0.3)}},
                   {"left bend", 2, {turn(7, 0.5)}},
                   {"left tip", 3, {turn(7, 0.5), turn(8)}},
                   {"right", 1, {turn(9), turn(10)}},
                   {"fixed to right", 5, {}},
                   {"apart", -1, {turn(11), slide(12)}}};
  linkage.dof_count = 16;
  return linkage;
}

}  // namespace aplomb::contact::test
