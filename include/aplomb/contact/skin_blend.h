// Points of skin carried by several links each, in plain arrays: the inner loop of SkinKinematics::pose().
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace aplomb::contact {

/// What one point hangs on: the first `count` of links and weights.
struct BlendPoint {
  double position[3], normal[3];  ///< at rest
  double weights[4];
  int links[4];
  int count;
};

/// Transforms of the links: 16 numbers each, column by column.
struct BlendTables {
  const BlendPoint* points;
  const double* transforms;
};

/// Of the first `count` points: sum over links of weight (R x + t), written to out[3 i] of point i.
using BlendPositions = void (*)(const BlendTables& tables, int count, double* out);
/// Of the points listed: sum over links of weight R n, which is no unit vector, likewise.
using BlendNormals = void (*)(const BlendTables& tables, const int* listed, int count, double* out);

struct Blend {
  BlendPositions positions;
  BlendNormals normals;
};

Blend blend_plain();
#ifdef __x86_64__
/// The same bits, a column at once. Pre: the processor has AVX2.
Blend blend_avx2();
#endif
/// The faster one that this processor can do.
Blend best_blend();

}  // namespace aplomb::contact
