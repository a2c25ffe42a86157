// The loops themselves, for the translation units that compile them for one processor each. Nothing of the library or
// of Eigen is used in here: an inline function compiled for a newer processor must not be the one that everybody is
// linked to. Four lanes are one register or two, as the compiler is told to; sums over lanes have one order.
//
// Weight of a partner at d with normal n_j, seen along n:   u = |d across n|^2 / across^2,  v = (d.n - between) /
// depth,
//   w = (1-u)^6 (1-v^2)^2 max(0, -n.n_j) area_j:  bumps, smooth at their edges, sharp enough across that the nearest
// few carry it. Then w (1 + b.t), t = d across the plane's normal, with b such that sum w t = 0: the two forces of a
// pair share one line then and turn nothing. At the rim of a patch, where that would need negative weights, as far as
// it goes: |b| is limited for a partner at the rim, there or not, so one that enters there without weight changes
// nothing.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pair_plane.h"

namespace aplomb::contact {
namespace {

using Four = double __attribute__((vector_size(32), aligned(8), may_alias));

#define APLOMB_AT(list, k) (*reinterpret_cast<Four*>((list) + (k)))
#define APLOMB_SUM(v) (((v)[0] + (v)[1]) + ((v)[2] + (v)[3]))

inline double root(double a) { return __builtin_sqrt(a); }

PlaneSeen see(const PlaneTables& of, const PlaneFrom& from, const int* partners, int count, double* weights,
              double* room) {
  PlaneSeen out;
  const int filled = (count + 3) / 4 * 4;
  double *dx = room, *dy = dx + filled, *dz = dy + filled, *nx = dz + filled, *ny = nx + filled, *nz = ny + filled;
  double *thickness = nz + filled, *modulus = thickness + filled, *w = modulus + filled;
  for (int k = 0; k < filled; ++k) {
    const int j = partners[k < count ? k : count - 1];
    const double *at = of.at + 3 * j, *normal = of.normal + 3 * j;
    dx[k] = at[0] - from.at[0], dy[k] = at[1] - from.at[1], dz[k] = at[2] - from.at[2];
    nx[k] = normal[0], ny[k] = normal[1], nz[k] = normal[2];
    thickness[k] = of.points[j].thickness_mm, modulus[k] = of.points[j].modulus_MPa;
    w[k] = k < count ? of.points[j].area_mm2 : 0;
  }

  const Four none = {0, 0, 0, 0};
  Four area = none, mean_nx = none, mean_ny = none, mean_nz = none;
  for (int k = 0; k < filled; k += 4) {
    const Four x = APLOMB_AT(dx, k), y = APLOMB_AT(dy, k), z = APLOMB_AT(dz, k);
    const Four jx = APLOMB_AT(nx, k), jy = APLOMB_AT(ny, k), jz = APLOMB_AT(nz, k);
    const Four along = x * from.normal[0] + y * from.normal[1] + z * from.normal[2];
    const Four u = 1 - (x * x + y * y + z * z - along * along) / (from.across * from.across);
    const Four v = (along - from.between) / from.depth, off = 1 - v * v;
    const Four facing = -(jx * from.normal[0] + jy * from.normal[1] + jz * from.normal[2]);
    const Four bump = u * u * u;
    Four weight = bump * bump * (off * off) * facing * APLOMB_AT(w, k);
    weight = u > 0 ? weight : none;
    weight = off > 0 ? weight : none;
    weight = facing > 0 ? weight : none;
    APLOMB_AT(w, k) = weight;
    area += weight, mean_nx += weight * jx, mean_ny += weight * jy, mean_nz += weight * jz;
  }
  const double total = APLOMB_SUM(area);
  if (!(total > 0)) return out;
  double raw[3] = {APLOMB_SUM(mean_nx) / total - from.normal[0], APLOMB_SUM(mean_ny) / total - from.normal[1],
                   APLOMB_SUM(mean_nz) / total - from.normal[2]};
  const double length = root(raw[0] * raw[0] + raw[1] * raw[1] + raw[2] * raw[2]);
  constexpr double least_opposite = 0.5;  // 2 when the normals are opposite
  if (length < least_opposite) return out;
  out.area = total;
  out.raw_length = length;
  const double px = raw[0] / length, py = raw[1] / length, pz = raw[2] / length;
  out.normal[0] = px, out.normal[1] = py, out.normal[2] = pz;

  // The mean cannot lie nearer than the nearest partner.
  constexpr double nowhere = 1e300;
  Four nearest = {nowhere, nowhere, nowhere, nowhere};
  for (int k = 0; k < filled; k += 4) {
    const Four off = -(APLOMB_AT(dx, k) * px + APLOMB_AT(dy, k) * py + APLOMB_AT(dz, k) * pz);
    const Four here = APLOMB_AT(w, k) > 0 ? off : none + nowhere;
    nearest = here < nearest ? here : nearest;
  }
  const double near_01 = nearest[0] < nearest[1] ? nearest[0] : nearest[1];
  const double near_23 = nearest[2] < nearest[3] ? nearest[2] : nearest[3];
  out.short_mm = (near_01 < near_23 ? near_01 : near_23) - from.between - from.reach;
  if (out.short_mm > 0) return out;

  // Two directions across the normal.
  const bool flat = px * px + py * py < 0.5;
  const double side = flat ? root(py * py + pz * pz) : root(px * px + py * py);
  const double ax = flat ? 0 : -py / side, ay = flat ? -pz / side : px / side, az = flat ? py / side : 0;
  const double bx = py * az - pz * ay, by = pz * ax - px * az, bz = px * ay - py * ax;
  Four f_a = none, f_b = none, s_aa = none, s_ab = none, s_bb = none;
  for (int k = 0; k < filled; k += 4) {
    const Four x = APLOMB_AT(dx, k), y = APLOMB_AT(dy, k), z = APLOMB_AT(dz, k), weight = APLOMB_AT(w, k);
    const Four a = x * ax + y * ay + z * az, b = x * bx + y * by + z * bz;
    const Four wa = weight * a, wb = weight * b;
    f_a += wa, f_b += wb, s_aa += wa * a, s_ab += wa * b, s_bb += wb * b;
  }
  const double first_a = APLOMB_SUM(f_a), first_b = APLOMB_SUM(f_b), ab = APLOMB_SUM(s_ab);
  double aa = APLOMB_SUM(s_aa), bb = APLOMB_SUM(s_bb);
  const double least = 1e-9 * (aa + bb + 1e-30);
  aa += least, bb += least;
  const double det = aa * bb - ab * ab;
  double toward_a = -(bb * first_a - ab * first_b) / det, toward_b = -(aa * first_b - ab * first_a) / det;
  constexpr double most = 0.9;
  const double at_rim = root(toward_a * toward_a + toward_b * toward_b) * from.across;
  if (at_rim > most) toward_a *= most / at_rim, toward_b *= most / at_rim;
  const double tx = toward_a * ax + toward_b * bx, ty = toward_a * ay + toward_b * by,
               tz = toward_a * az + toward_b * bz;

  Four sum = none, mean_x = none, mean_y = none, mean_z = none, mean_h = none, mean_M = none;
  for (int k = 0; k < filled; k += 4) {
    const Four x = APLOMB_AT(dx, k), y = APLOMB_AT(dy, k), z = APLOMB_AT(dz, k);
    const Four aimed = 1 + (x * tx + y * ty + z * tz);
    const Four weight = APLOMB_AT(w, k) * (aimed > 0.05 ? aimed : none + 0.05);
    APLOMB_AT(w, k) = weight;
    sum += weight, mean_x += weight * x, mean_y += weight * y, mean_z += weight * z;
    mean_h += weight * APLOMB_AT(thickness, k), mean_M += weight * APLOMB_AT(modulus, k);
  }
  const double weight = APLOMB_SUM(sum);
  const double mx = APLOMB_SUM(mean_x) / weight, my = APLOMB_SUM(mean_y) / weight, mz = APLOMB_SUM(mean_z) / weight;
  out.mean[0] = mx, out.mean[1] = my, out.mean[2] = mz;
  out.short_mm = -(px * mx + py * my + pz * mz) - from.between - from.reach;
  if (out.short_mm > 0) return out;
  out.thickness_mm = APLOMB_SUM(mean_h) / weight, out.modulus_MPa = APLOMB_SUM(mean_M) / weight;

  Four bulge = none, slope_x = none, slope_y = none, slope_z = none;
  for (int k = 0; k < filled; k += 4) {
    const Four jx = APLOMB_AT(nx, k), jy = APLOMB_AT(ny, k), jz = APLOMB_AT(nz, k);
    const Four up = jx * px + jy * py + jz * pz, by_up = 1 / (up > 0.2 ? up : none + 0.2);
    const Four lx = jx * by_up - px, ly = jy * by_up - py, lz = jz * by_up - pz;
    const Four share = APLOMB_AT(w, k) / weight;
    APLOMB_AT(w, k) = share;
    bulge -= share * (lx * APLOMB_AT(dx, k) + ly * APLOMB_AT(dy, k) + lz * APLOMB_AT(dz, k));
    slope_x += share * lx, slope_y += share * ly, slope_z += share * lz;
  }
  out.bulge_mm =
      0.5 * (APLOMB_SUM(bulge) - (APLOMB_SUM(slope_x) * mx + APLOMB_SUM(slope_y) * my + APLOMB_SUM(slope_z) * mz));
  for (int k = 0; k < count; ++k) weights[k] = w[k];
  return out;
}

void hang(const PlaneTables& of, const int* partners, const double* weights, int count, const PlaneHeld& held) {
  for (int k = 0; k < count; ++k) {
    if (!(weights[k] > 0)) continue;
    const PlanePoint& point = of.points[partners[k]];
    const Four rest = *reinterpret_cast<const Four*>(point.rest);
    for (int l = 0; l < point.count; ++l) {
      const double w = weights[k] * point.weights[l];
      APLOMB_AT(held.skin, 4 * point.places[l]) += w * rest;
      if (held.normals != nullptr)
        APLOMB_AT(held.normals, 4 * point.places[l]) += w * *reinterpret_cast<const Four*>(point.normal_rest);
    }
  }
}

#undef APLOMB_AT
#undef APLOMB_SUM

}  // namespace
}  // namespace aplomb::contact
