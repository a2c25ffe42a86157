// The loop itself, for the translation units that compile it for one processor each. Nothing of the library or of Eigen
// is used in here: an inline function compiled for a newer processor must not be the one that everybody is linked to.
//
// A point has weight for one at p that faces along n when, with d the way to it,
//   |d . n - between| <= depth,   |d across n| <= across,   its normal . n <= 0.
// A block none of whose members can be so is told from its middle, with all three widened by how far its members lie
// from there, or turn from it times an arm.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pair_look.h"

#if defined(__SSE2__)
#include <immintrin.h>
#endif

namespace aplomb::contact {
namespace {

#if defined(__AVX2__)
struct Lanes {
  __m256 v;
};
inline Lanes load(const float* at) { return {_mm256_loadu_ps(at)}; }
inline Lanes all(float value) { return {_mm256_set1_ps(value)}; }
inline Lanes operator+(Lanes a, Lanes b) { return {_mm256_add_ps(a.v, b.v)}; }
inline Lanes operator-(Lanes a, Lanes b) { return {_mm256_sub_ps(a.v, b.v)}; }
inline Lanes operator*(Lanes a, Lanes b) { return {_mm256_mul_ps(a.v, b.v)}; }
inline Lanes operator/(Lanes a, Lanes b) { return {_mm256_div_ps(a.v, b.v)}; }
inline Lanes larger(Lanes a, Lanes b) { return {_mm256_max_ps(a.v, b.v)}; }
inline Lanes root(Lanes a) { return {_mm256_sqrt_ps(a.v)}; }
/// Bit i: lane i is not above 0.
inline unsigned not_above_0(Lanes a) {
  return static_cast<unsigned>(_mm256_movemask_ps(_mm256_cmp_ps(a.v, _mm256_setzero_ps(), _CMP_LE_OQ)));
}
inline void store(float* at, Lanes a) { _mm256_storeu_ps(at, a.v); }
#elif defined(__SSE2__)
struct Lanes {
  __m128 a, b;
};
inline Lanes load(const float* at) { return {_mm_loadu_ps(at), _mm_loadu_ps(at + 4)}; }
inline Lanes all(float value) { return {_mm_set1_ps(value), _mm_set1_ps(value)}; }
inline Lanes operator+(Lanes p, Lanes q) { return {_mm_add_ps(p.a, q.a), _mm_add_ps(p.b, q.b)}; }
inline Lanes operator-(Lanes p, Lanes q) { return {_mm_sub_ps(p.a, q.a), _mm_sub_ps(p.b, q.b)}; }
inline Lanes operator*(Lanes p, Lanes q) { return {_mm_mul_ps(p.a, q.a), _mm_mul_ps(p.b, q.b)}; }
inline Lanes operator/(Lanes p, Lanes q) { return {_mm_div_ps(p.a, q.a), _mm_div_ps(p.b, q.b)}; }
inline Lanes larger(Lanes p, Lanes q) { return {_mm_max_ps(p.a, q.a), _mm_max_ps(p.b, q.b)}; }
inline Lanes root(Lanes p) { return {_mm_sqrt_ps(p.a), _mm_sqrt_ps(p.b)}; }
/// Bit i: lane i is not above 0.
inline unsigned not_above_0(Lanes p) {
  const __m128 none = _mm_setzero_ps();
  return static_cast<unsigned>(_mm_movemask_ps(_mm_cmple_ps(p.a, none)) | _mm_movemask_ps(_mm_cmple_ps(p.b, none))
                                                                              << 4);
}
inline void store(float* at, Lanes p) { _mm_storeu_ps(at, p.a), _mm_storeu_ps(at + 4, p.b); }
#else
struct Lanes {
  float v[look_lanes];
};
template <class Of>
Lanes each(Of of) {
  Lanes out;
  for (int i = 0; i < look_lanes; ++i) out.v[i] = of(i);
  return out;
}
inline Lanes load(const float* at) {
  return each([&](int i) { return at[i]; });
}
inline Lanes all(float value) {
  return each([&](int) { return value; });
}
inline Lanes operator+(Lanes a, Lanes b) {
  return each([&](int i) { return a.v[i] + b.v[i]; });
}
inline Lanes operator-(Lanes a, Lanes b) {
  return each([&](int i) { return a.v[i] - b.v[i]; });
}
inline Lanes operator*(Lanes a, Lanes b) {
  return each([&](int i) { return a.v[i] * b.v[i]; });
}
inline Lanes operator/(Lanes a, Lanes b) {
  return each([&](int i) { return a.v[i] / b.v[i]; });
}
inline Lanes larger(Lanes a, Lanes b) {
  return each([&](int i) { return a.v[i] > b.v[i] ? a.v[i] : b.v[i]; });
}
inline Lanes root(Lanes a) {
  return each([&](int i) { return __builtin_sqrtf(a.v[i]); });
}
/// Bit i: lane i is not above 0.
inline unsigned not_above_0(Lanes a) {
  unsigned bits = 0;
  for (int i = 0; i < look_lanes; ++i) bits |= static_cast<unsigned>(a.v[i] <= 0) << i;
  return bits;
}
inline void store(float* at, Lanes a) {
  for (int i = 0; i < look_lanes; ++i) at[i] = a.v[i];
}
#endif

/// So many points, or middles of blocks, as one sees them.
struct Seen {
  Lanes along, square, turned_mm;
};

inline Seen see(const LookColumns& of, int k, const LookFrom& from, float arm_mm) {
  const Lanes dx = load(of.x + k) - all(from.x), dy = load(of.y + k) - all(from.y), dz = load(of.z + k) - all(from.z);
  const Lanes nx = all(from.nx), ny = all(from.ny), nz = all(from.nz);
  return {dx * nx + dy * ny + dz * nz, dx * dx + dy * dy + dz * dz,
          all(arm_mm) * (load(of.nx + k) * nx + load(of.ny + k) * ny + load(of.nz + k) * nz)};
}

/// How far it is along n from where skin would just touch.
inline Lanes apart(const Seen& seen, const LookFrom& from) {
  const Lanes off = seen.along - all(from.between);
  return larger(off, all(0) - off);
}

/// No more than 0 where one has weight, give or take `spread`.
inline Lanes out_of_reach(const Seen& seen, const LookFrom& from, Lanes spread) {
  const Lanes across = spread + all(from.across);
  return larger(
      larger(apart(seen, from) - (spread + all(from.depth)), seen.square - seen.along * seen.along - across * across),
      seen.turned_mm - spread);
}

/// How far the two sides may move before one that has no weight may have some. It is short of that by the most of: how
/// far it is too far along n, or across, or would have to turn (times arm). Of these, motion by t makes up at most t,
/// and turning by t / arm at most t distance / arm more.
inline Lanes clear_mm(const Seen& seen, const LookFrom& from, Lanes spread, float arm_mm) {
  const Lanes across = root(larger(seen.square - seen.along * seen.along, all(0)));
  const Lanes lacks = larger(larger(apart(seen, from) - all(from.depth), across - all(from.across)), seen.turned_mm);
  return (lacks - spread) / (all(1) + (root(seen.square) + spread) / all(arm_mm));
}

inline int look(const LookTables& t, const LookFrom& from, int* near, float& least_mm) {
  int count = 0;
  const Lanes just = all(t.rounding_mm);
  for (int k = 0; k < t.groups * look_lanes; k += look_lanes) {
    unsigned blocks = not_above_0(out_of_reach(see(t.blocks, k, from, t.arm_mm), from, load(t.spread + k)));
    for (; blocks != 0; blocks &= blocks - 1) {
      const int first = (k + __builtin_ctz(blocks)) * look_lanes;
      unsigned within = not_above_0(out_of_reach(see(t.points, first, from, t.arm_mm), from, just));
      for (; within != 0; within &= within - 1) near[count++] = first + __builtin_ctz(within);
    }
  }
  least_mm = 0;
  if (count > 0) return count;
  float least = t.most_asked_mm;
  for (int k = 0; k < t.groups * look_lanes; k += look_lanes) {
    const Lanes clear = clear_mm(see(t.blocks, k, from, t.arm_mm), from, load(t.spread + k), t.arm_mm);
    unsigned blocks = not_above_0(clear - all(t.most_asked_mm));
    for (; blocks != 0; blocks &= blocks - 1) {
      const int first = (k + __builtin_ctz(blocks)) * look_lanes;
      float each[look_lanes];
      store(each, clear_mm(see(t.points, first, from, t.arm_mm), from, just, t.arm_mm));
      for (const float mm : each) least = mm < least ? mm : least;
    }
  }
  least_mm = least > 0 ? least : 0;
  return 0;
}

}  // namespace
}  // namespace aplomb::contact
