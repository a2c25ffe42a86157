// Which of many points stand within reach of one, in plain arrays: the inner loop of PairSide::look().
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace aplomb::contact {

inline constexpr int look_lanes = 8;  ///< points are looked at in blocks of so many neighbours

/// Places and normals, each coordinate by itself.
struct LookColumns {
  const float *x, *y, *z, *nx, *ny, *nz;
};

struct LookTables {
  LookColumns points;   ///< filled up to whole blocks with points that are nowhere
  LookColumns blocks;   ///< the middle of each block, filled up likewise
  const float* spread;  ///< of each block, filled up with 0
  int groups;           ///< of look_lanes blocks
  float rounding_mm;    ///< of what is told in float
  float arm_mm;         ///< how far out skin moves as much as a normal turns
  float most_asked_mm;  ///< how far others are is told no further than this
};

/// Who looks, and how far; mm.
struct LookFrom {
  float x, y, z, nx, ny, nz;
  float across, depth, between;
};

/// Writes the places of those within reach, in order, and returns how many. Where there are none `least_mm` is how far
/// the two sides may move before there could be one. Pre: room for as many as there are points.
using Look = int (*)(const LookTables& tables, const LookFrom& from, int* near, float& least_mm);

int look_plain(const LookTables& tables, const LookFrom& from, int* near, float& least_mm);
#ifdef __x86_64__
/// The same bits, eight lanes at once. Pre: the processor has AVX2.
int look_avx2(const LookTables& tables, const LookFrom& from, int* near, float& least_mm);
#endif
/// The faster one that this processor can do.
Look best_look();

}  // namespace aplomb::contact
