// A point of skin as it counts in the plane that stands for its patch; see pair_side.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace aplomb::contact {

/// The first `count` of weights and places say what it hangs on: places among the links of its side of the pair.
struct PlanePoint {
  double rest[4];         ///< position at rest, and 1
  double normal_rest[4];  ///< and 0
  double weights[4];
  double area_mm2, thickness_mm, modulus_MPa;
  int places[4];
  int count;
};

}  // namespace aplomb::contact
