// Soft tissue as a layer between skin and bone, and layers in series. Pressures MPa, lengths mm, energies N/mm per
// area.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>

namespace aplomb::contact {

/// Width of the smooth start of contact: skin begins to feel the wall this far before touching.
inline constexpr double ramp_half_width_mm = 0.05;

/// A value with its first and second derivative.
struct Jet {
  double value = 0, first = 0, second = 0;
};

/// Smooth positive part r(t), C2: 0 for t <= -e, (t+e)^3 (3e-t) / (16 e^3) between, t for t >= e.
Jet ramp(double t, double e = ramp_half_width_mm);

/// Share of its thickness past which a layer has met the bone: the law goes on straight from there, so that any depth
/// has a finite, rising pressure.
inline constexpr double bone_fraction = 0.98;

/// One layer of tissue or foam: p = -M ln(1 - d/h). Straight at first, stiffens as it is pressed flat.
struct Layer {
  double modulus_MPa = 1.33;  ///< M = kappa E, kappa = 1.9 at nu = .40 (exact bonded-layer theory, force within 6 %)
  double thickness_mm = 4;    ///< h, skin to bone
};

/// Energy per area stored at compression d, with pressure (first) and stiffness (second): M h [(1-x) ln(1-x) + x], x =
/// d/h; past the bone fraction continued with its last stiffness. Pre: 0 <= d.
Jet layer_energy(const Layer& layer, double compression_mm);

/// Two layers in series pressed together by d: both carry the same pressure, their compressions add to d.
/// value = energy, first = pressure, second = stiffness; `share` = compression of the first layer.
struct SeriesJet {
  Jet jet;
  double first_compression_mm = 0;
};
SeriesJet series_energy(const Layer& a, const Layer& b, double compression_mm);

/// The same for any number of layers from the skin outward; a single one answers as layer_energy(). Pre: not empty.
SeriesJet stack_energy(std::span<const Layer> layers, double compression_mm);

/// Thin-layer factor kappa in M = kappa E, by Poisson's ratio, interpolated in the table of exact bonded-layer results
/// (matching total force) between nu .30 and .45. Outside: clamped.
double layer_factor(double poisson_ratio);

}  // namespace aplomb::contact
