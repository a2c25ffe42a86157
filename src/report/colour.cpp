// The map is a curve through Oklab, walked at constant speed.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/colour.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>
#include <vector>

namespace aplomb::report {

namespace {

struct Oklab {
  double L = 0, a = 0, b = 0;
};

double encode(double linear) {
  const double x = std::clamp(linear, 0.0, 1.0);
  return x <= 0.0031308 ? 12.92 * x : 1.055 * std::pow(x, 1 / 2.4) - 0.055;  // IEC 61966-2-1
}

/// Matrices: Ottosson 2020.
Colour srgb(const Oklab& c) {
  const double l = std::pow(c.L + 0.3963377774 * c.a + 0.2158037573 * c.b, 3);
  const double m = std::pow(c.L - 0.1055613458 * c.a - 0.0638541728 * c.b, 3);
  const double s = std::pow(c.L - 0.0894841775 * c.a - 1.2914855480 * c.b, 3);
  return {encode(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s),
          encode(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s),
          encode(-0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s)};
}

/// Lightness falls evenly, hue turns from yellow over red to violet, and chroma stays inside what a screen can show.
Oklab curve(double t) {
  const double lightness = 0.93 - 0.65 * t;
  const double hue = (98 - 170 * t) * std::numbers::pi / 180;
  const double chroma = 0.11 + 0.07 * std::sin(std::numbers::pi * t);
  return {lightness, chroma * std::cos(hue), chroma * std::sin(hue)};
}

std::array<Colour, pressure_map_size> make_map() {
  constexpr int fine = 4096;
  std::vector<double> length(fine + 1, 0);
  for (int i = 1; i <= fine; ++i) {
    const Oklab p = curve((i - 1.0) / fine), q = curve(static_cast<double>(i) / fine);
    length[i] = length[i - 1] + std::hypot(q.L - p.L, q.a - p.a, q.b - p.b);
  }
  std::array<Colour, pressure_map_size> map;
  for (int k = 0; k < pressure_map_size; ++k) {
    const double wanted = length.back() * k / (pressure_map_size - 1);
    const auto above =
        std::clamp<std::ptrdiff_t>(std::lower_bound(length.begin(), length.end(), wanted) - length.begin(), 1, fine);
    const double part = (wanted - length[above - 1]) / (length[above] - length[above - 1]);
    map[k] = srgb(curve((static_cast<double>(above) - 1 + part) / fine));
  }
  return map;
}

}  // namespace

const std::array<Colour, pressure_map_size>& pressure_map() {
  static const auto map = make_map();
  return map;
}

Colour pressure_colour(double fraction) {
  const auto& map = pressure_map();
  const double at = std::clamp(fraction, 0.0, 1.0) * (pressure_map_size - 1);
  const int low = std::min(static_cast<int>(at), pressure_map_size - 2);
  const double part = at - low;
  const auto mix = [&](double p, double q) { return p + part * (q - p); };
  return {mix(map[low].r, map[low + 1].r), mix(map[low].g, map[low + 1].g), mix(map[low].b, map[low + 1].b)};
}

Colour two_sided_colour(double fraction) {
  const double f = std::clamp(fraction, -1.0, 1.0), size = std::abs(f);
  const double lightness = 0.95 - 0.60 * size;
  // Warm for less than nothing, cool for more: hues that the common colour deficiencies keep apart.
  const double hue = (f < 0 ? 55.0 : 240.0) * std::numbers::pi / 180;
  const double chroma =
      0.015 + 0.125 * std::sin(0.5 * std::numbers::pi * std::min(1.0, 1.4 * size)) - 0.03 * size * size;
  return srgb({lightness, chroma * std::cos(hue), chroma * std::sin(hue)});
}

double telling_peak_kPa(const std::vector<double>& pressure_kPa) {
  constexpr double few = 0.02, far_above = 4, loaded_kPa = 1;
  std::vector<double> loaded;
  std::copy_if(pressure_kPa.begin(), pressure_kPa.end(), std::back_inserter(loaded),
               [](double p) { return p > loaded_kPa; });
  if (loaded.empty()) return 0;
  std::sort(loaded.begin(), loaded.end());
  const double usual = loaded[static_cast<std::size_t>((1 - few) * static_cast<double>(loaded.size() - 1))];
  return std::min(loaded.back(), far_above * usual);
}

double pressure_scale_end_kPa(double peak_kPa) {
  const double peak = std::max(peak_kPa, 50.0);
  const double power = std::pow(10.0, std::floor(std::log10(peak)));
  for (const double factor : {1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0})
    if (factor * power >= peak * (1 - 1e-9)) return factor * power;
  return 10 * power;
}

double pressure_scale_step_kPa(double end_kPa) {
  const double power = std::pow(10.0, std::floor(std::log10(end_kPa)));
  for (const double factor : {0.1, 0.2, 0.25, 0.5, 1.0})
    if (end_kPa / (factor * power) <= 7.5) return factor * power;
  return 2 * power;
}

}  // namespace aplomb::report
