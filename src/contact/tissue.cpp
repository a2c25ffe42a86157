// Tissue layers: the smooth start of contact, the logarithmic law, and two layers sharing one pressure.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/tissue.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace aplomb::contact {

namespace {

// (1-x) ln(1-x) + x. The two terms cancel to x^2/2 for a light touch, so there the power series sum x^k / (k (k-1)) is
// used: at x = .05 its twelfth term is below rounding, and the closed form has lost no more than three digits.
double stored_fraction(double x) {
  if (x > 0.05) return (1 - x) * std::log1p(-x) + x;
  double sum = 0;
  for (int k = 13; k >= 2; --k) sum = sum * x + 1.0 / (k * (k - 1.0));
  return sum * x * x;
}

}  // namespace

Jet ramp(double t, double e) {
  if (t <= -e) return {};
  if (t >= e) return {t, 1, 0};
  const double u = t + e, e3 = e * e * e;
  return {u * u * u * (3 * e - t) / (16 * e3), u * u * (2 * e - t) / (4 * e3), 3 * u * (e - t) / (4 * e3)};
}

namespace {

/// Where the log law hands over to the straight line, of one layer.
struct Bone {
  double depth_mm, energy, pressure, stiffness;
};
Bone bone_of(const Layer& layer) {
  constexpr double x = bone_fraction;
  const double m = layer.modulus_MPa, h = layer.thickness_mm;
  return {x * h, m * h * stored_fraction(x), -m * std::log1p(-x), m / (h * (1 - x))};
}

/// Compression of a layer by its pressure, and its slope.
std::pair<double, double> compression_at(const Layer& layer, double p) {
  const Bone bone = bone_of(layer);
  if (p > bone.pressure) return {bone.depth_mm + (p - bone.pressure) / bone.stiffness, 1 / bone.stiffness};
  const double left = std::exp(-p / layer.modulus_MPa);
  return {-layer.thickness_mm * std::expm1(-p / layer.modulus_MPa), layer.thickness_mm / layer.modulus_MPa * left};
}

}  // namespace

Jet layer_energy(const Layer& layer, double compression_mm) {
  const double m = layer.modulus_MPa, h = layer.thickness_mm, x = compression_mm / h;
  if (x > bone_fraction) {
    const Bone bone = bone_of(layer);
    const double past = compression_mm - bone.depth_mm;
    return {bone.energy + past * (bone.pressure + bone.stiffness * past / 2), bone.pressure + bone.stiffness * past,
            bone.stiffness};
  }
  return {m * h * stored_fraction(x), -m * std::log1p(-x), m / (h - compression_mm)};
}

// With the common pressure p as the unknown, d(p) = sum h_i (1 - exp(-p/M_i)) is increasing and concave, so Newton from
// below rises to the root and never passes it. The start is exact for equal moduli: d(p) <= (h_a + h_b)(1 -
// exp(-p/M_min)). Sums of two terms commute exactly, so exchanging the layers exchanges the answer bit for bit.
SeriesJet series_energy(const Layer& a, const Layer& b, double compression_mm) {
  const double h = a.thickness_mm + b.thickness_mm;
  const double softer = std::min(a.modulus_MPa, b.modulus_MPa);
  double p = -softer * std::log1p(-std::min(bone_fraction, compression_mm / h));
  for (int i = 0; i < 200; ++i) {
    const auto [d_a, slope_a] = compression_at(a, p);
    const auto [d_b, slope_b] = compression_at(b, p);
    const double step = (compression_mm - (d_a + d_b)) / (slope_a + slope_b);
    p += step;
    if (!(std::abs(step) > 1e-15 * p)) break;
  }
  const auto [d_a, slope_a] = compression_at(a, p);
  const auto [d_b, slope_b] = compression_at(b, p);
  const double energy = layer_energy(a, d_a).value + layer_energy(b, d_b).value;
  return {{energy, p, 1 / (slope_a + slope_b)}, d_a};
}

SeriesJet stack_energy(std::span<const Layer> layers, double compression_mm) {
  if (layers.size() == 1) return {layer_energy(layers[0], compression_mm), compression_mm};
  if (layers.size() == 2) return series_energy(layers[0], layers[1], compression_mm);
  // As for two: Newton from below.
  double h = 0, softest = layers[0].modulus_MPa;
  for (const Layer& layer : layers) h += layer.thickness_mm, softest = std::min(softest, layer.modulus_MPa);
  double p = -softest * std::log1p(-std::min(bone_fraction, compression_mm / h));
  double slope = 0;
  for (int i = 0; i < 200; ++i) {
    double d = 0;
    slope = 0;
    for (const Layer& layer : layers) {
      const auto [here, by_p] = compression_at(layer, p);
      d += here, slope += by_p;
    }
    const double step = (compression_mm - d) / slope;
    p += step;
    if (!(std::abs(step) > 1e-15 * p)) break;
  }
  SeriesJet out;
  slope = 0;
  for (const Layer& layer : layers) {
    const auto [d, by_p] = compression_at(layer, p);
    slope += by_p;
    out.jet.value += layer_energy(layer, d).value;
  }
  out.jet.first = p;
  out.jet.second = 1 / slope;
  out.first_compression_mm = compression_at(layers[0], p).first;
  return out;
}

// Rigid paraboloid on a bonded layer with a frictionless top, solved exactly as an integral equation; kappa makes the
// total force agree. nu .30: contact radius / thickness 1. nu .40 and .45: one figure for ratios .5 to 2, where the
// exact ones are 1.976 to 1.798 and 2.196 to 2.329.
double layer_factor(double poisson_ratio) {
  struct Row {
    double nu, kappa;
  };
  static constexpr std::array<Row, 3> table{{{.30, 1.400}, {.40, 1.900}, {.45, 2.2625}}};
  const double nu = std::clamp(poisson_ratio, table.front().nu, table.back().nu);
  const auto& [low, high] = nu < table[1].nu ? std::pair(table[0], table[1]) : std::pair(table[1], table[2]);
  return low.kappa + (high.kappa - low.kappa) * (nu - low.nu) / (high.nu - low.nu);
}

}  // namespace aplomb::contact
