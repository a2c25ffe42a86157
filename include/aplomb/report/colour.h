// The colours of pressure: one sequential map, perceptually uniform, light to dark, safe for colour-blind eyes and for
// black-and-white print (darker is always more).
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

namespace aplomb::report {

/// sRGB, 0..1, gamma-encoded as on the screen.
struct Colour {
  double r = 0, g = 0, b = 0;
};

inline constexpr int pressure_map_size = 256;

/// Equal steps of pressure are equal steps of colour difference (Euclidean in Oklab: Ottosson 2020, "A perceptual color
/// space for image processing"), from light yellow over red to dark violet. Computed once.
const std::array<Colour, pressure_map_size>& pressure_map();

/// Colour at `fraction` of the scale, clamped to 0..1.
Colour pressure_colour(double fraction);

/// For values of either sign, -1 to 1: warm (orange to brown) below 0, near white at 0, cool (blue) above; both halves
/// get darker evenly with the value's size, so size is read by lightness and sign by hues that colour-blind eyes keep
/// apart.
Colour two_sided_colour(double fraction);

/// Skin that carries nothing.
inline constexpr Colour bare_skin{0.890, 0.850, 0.818};

/// Tints of the shoe: stiff box, shank and sole, fabric of the upper.
inline constexpr Colour box_tint{0.42, 0.50, 0.58}, sole_tint{0.66, 0.55, 0.45}, upper_tint{0.80, 0.62, 0.56};

/// What the colours of a picture have to reach to: the largest pressure; where a few points with a bone near stand far
/// above all the rest, less than that, so that the rest is not left pale.
double telling_peak_kPa(const std::vector<double>& pressure_kPa);
/// End of the scale: the smallest of 1, 2, 2.5, 3, 4, 5, 6, 8 times a power of ten that is at least `peak_kPa`, and at
/// least 50 kPa.
double pressure_scale_end_kPa(double peak_kPa);
/// A round step that gives 4 to 8 numbers on a scale that ends at `end_kPa`.
double pressure_scale_step_kPa(double end_kPa);

}  // namespace aplomb::report
