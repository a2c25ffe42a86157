// The loop itself, for the translation units that compile it for one processor each. Nothing of the library or of Eigen
// is used in here: an inline function compiled for a newer processor must not be the one that everybody is linked to.
// A column of four is one register or two, as the compiler is told to; products are not fused with sums in either.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/skin_blend.h"

namespace aplomb::contact {
namespace {

using Column = double __attribute__((vector_size(32), aligned(8), may_alias));

// A macro and not a function: a column that is passed or returned would differ between processors.
#define APLOMB_TURNED(T, v) ((T)[0] * (v)[0] + (T)[1] * (v)[1] + (T)[2] * (v)[2])

inline const Column* transform_of(const BlendTables& tables, const BlendPoint& point, int k) {
  return reinterpret_cast<const Column*>(tables.transforms + 16 * point.links[k]);
}

void blend_positions(const BlendTables& tables, int count, double* out) {
  for (int i = 0; i < count; ++i) {
    const BlendPoint& point = tables.points[i];
    Column x = {0, 0, 0, 0};
    for (int k = 0; k < point.count; ++k) {
      const Column* T = transform_of(tables, point, k);
      x += point.weights[k] * (APLOMB_TURNED(T, point.position) + T[3]);
    }
    double* to = out + 3 * i;
    to[0] = x[0], to[1] = x[1], to[2] = x[2];
  }
}

void blend_normals(const BlendTables& tables, const int* listed, int count, double* out) {
  for (int at = 0; at < count; ++at) {
    const BlendPoint& point = tables.points[listed[at]];
    Column n = {0, 0, 0, 0};
    for (int k = 0; k < point.count; ++k) {
      const Column* T = transform_of(tables, point, k);
      n += point.weights[k] * APLOMB_TURNED(T, point.normal);
    }
    double* to = out + 3 * listed[at];
    to[0] = n[0], to[1] = n[1], to[2] = n[2];
  }
}

#undef APLOMB_TURNED

}  // namespace
}  // namespace aplomb::contact
