// The plane that stands for a patch of skin seen from a point, in plain arrays: the inner loops of System::see_plane().
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/plane_point.h"

namespace aplomb::contact {

/// One side of a pair: three numbers for each place and for each normal, all in one frame.
struct PlaneTables {
  const double *at, *normal;
  const PlanePoint* points;
};

/// Who looks, and how far; mm.
struct PlaneFrom {
  double at[3], normal[3];
  double across, depth, between, reach;
};

/// What is seen. Where it is out of reach nothing after `short_mm` is set.
struct PlaneSeen {
  double area = 0;      ///< of the partners by their weights, mm2; 0: none has any
  double normal[3];     ///< unit, away from the partners
  double raw_length;    ///< of the partners' mean normal minus the point's own
  double short_mm = 0;  ///< how much farther than `reach` it stands off
  double mean[3];       ///< of the partners, from the point
  double thickness_mm, modulus_MPa;
  double bulge_mm;  ///< how far the patch stands before the plane through its mean, < 0 where it is convex
};

/// Sums of 4 numbers for each place among the side's links: what hangs on it and its weight, (moment, weight).
struct PlaneHeld {
  double* skin;
  double* normals;  ///< may be null; weights 0
};

/// Room that see() needs for so many partners.
inline constexpr int plane_room(int partners) { return 9 * (partners + 4); }

struct PairPlane {
  /// `weights` of the partners, which sum to 1 where the plane is in reach: none has any across the point's own normal
  /// past `across`, along it past `depth` from where it would touch, or facing away. Such that the mean lies straight
  /// behind the point, as far as that goes without negative ones. Pre: room for plane_room(count).
  PlaneSeen (*see)(const PlaneTables& of, const PlaneFrom& from, const int* partners, int count, double* weights,
                   double* room);
  /// Adds to what is held.
  void (*hang)(const PlaneTables& of, const int* partners, const double* weights, int count, const PlaneHeld& held);
};

PairPlane plane_plain();
#ifdef __x86_64__
/// The same bits, four lanes at once. Pre: the processor has AVX2.
PairPlane plane_avx2();
#endif
/// The faster one that this processor can do.
PairPlane best_plane();

}  // namespace aplomb::contact
