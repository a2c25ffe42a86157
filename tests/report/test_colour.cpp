// The pressure map against colour science it was not made by: CIE 1976 Lab, and eyes that lack one kind of cone.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <Eigen/Dense>
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "aplomb/report/colour.h"

using namespace aplomb::report;
using Eigen::Matrix3d;
using Eigen::Vector3d;

namespace {

/// IEC 61966-2-1.
Vector3d linear(const Colour& c) {
  const auto decode = [](double x) { return x <= 0.04045 ? x / 12.92 : std::pow((x + 0.055) / 1.055, 2.4); };
  return {decode(c.r), decode(c.g), decode(c.b)};
}

/// CIE 1976 L*a*b*, white D65; matrix of IEC 61966-2-1.
Vector3d lab(const Vector3d& rgb) {
  Matrix3d to_xyz;
  to_xyz << 0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505;
  const Vector3d xyz = (to_xyz * rgb).cwiseQuotient(Vector3d(0.9505, 1.0, 1.089));
  const auto f = [](double t) {
    return t > std::pow(6.0 / 29, 3) ? std::cbrt(t) : t * std::pow(29.0 / 6, 2) / 3 + 4.0 / 29;
  };
  return {116 * f(xyz.y()) - 16, 500 * (f(xyz.x()) - f(xyz.y())), 200 * (f(xyz.y()) - f(xyz.z()))};
}

}  // namespace

TEST_CASE("CIE Lab of known colours", "[report][colour]") {
  // White, black and sRGB red: CIE 15 / published conversions (L* 53.24, a* 80.09, b* 67.20).
  CHECK((lab(linear({1, 1, 1})) - Vector3d(100, 0, 0)).norm() < 0.05);
  CHECK(lab(linear({0, 0, 0})).norm() < 1e-9);
  CHECK((lab(linear({1, 0, 0})) - Vector3d(53.24, 80.09, 67.20)).norm() < 0.1);
}

TEST_CASE("More pressure is always darker, in even steps", "[report][colour]") {
  const auto& map = pressure_map();
  std::vector<double> steps;
  for (int i = 1; i < pressure_map_size; ++i) {
    const Vector3d before = lab(linear(map[i - 1])), after = lab(linear(map[i]));
    CHECK(after.x() < before.x());
    steps.push_back((after - before).norm());
  }
  // Oklab and CIE 1976 Lab measure saturated colours differently; a rainbow map has steps that differ tenfold here.
  const auto [least, most] = std::minmax_element(steps.begin(), steps.end());
  CHECK(*most / *least < 3);
  CHECK(lab(linear(map.front())).x() > 85);
  CHECK(lab(linear(map.back())).x() < 25);
}

TEST_CASE("Colour-blind eyes see the same order", "[report][colour]") {
  // Machado, Oliveira and Fernandes 2009, table of simulation matrices, severity 1.0 (linear RGB; from memory).
  Matrix3d protan, deutan;
  protan << 0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998;
  deutan << 0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881;
  for (const Matrix3d& eye : {protan, deutan}) {
    CHECK((eye * Vector3d(1, 1, 1) - Vector3d(1, 1, 1)).norm() < 1e-3);  // white stays white
    double before = 101;
    for (const Colour& colour : pressure_map()) {
      const double lightness = lab((eye * linear(colour)).cwiseMax(0.0)).x();
      CHECK(lightness < before);
      before = lightness;
    }
  }
}

TEST_CASE("The map is interpolated and clamped", "[report][colour]") {
  const auto& map = pressure_map();
  CHECK(pressure_colour(-1).r == map.front().r);
  CHECK(pressure_colour(2).b == map.back().b);
  CHECK(pressure_colour(0.5).g == Approx((map[127].g + map[128].g) / 2));
}

TEST_CASE("A few points far above the rest do not stretch the scale", "[report][colour]") {
  CHECK(telling_peak_kPa({}) == 0);
  CHECK(telling_peak_kPa({0, 0, 0}) == 0);
  std::vector<double> pressures(1000, 0.0);
  for (int i = 0; i < 500; ++i) pressures[static_cast<std::size_t>(i)] = 2.0 + i;  // 2 .. 501
  CHECK(telling_peak_kPa(pressures) == 501);
  pressures[999] = 1500;
  CHECK(telling_peak_kPa(pressures) == 1500);
  pressures[999] = 2e6;  // at the bone
  CHECK(telling_peak_kPa(pressures) == Approx(4 * 492).epsilon(0.01));
}

TEST_CASE("Scales end at round numbers", "[report][colour]") {
  CHECK(pressure_scale_end_kPa(0) == 50);
  CHECK(pressure_scale_end_kPa(300) == Approx(300));
  CHECK(pressure_scale_end_kPa(301) == Approx(400));
  CHECK(pressure_scale_end_kPa(810) == Approx(1000));
  for (double end : {50.0, 60.0, 80.0, 100.0, 200.0, 250.0, 300.0, 400.0, 500.0, 600.0, 800.0, 1000.0}) {
    const double count = end / pressure_scale_step_kPa(end);
    CAPTURE(end, count);
    CHECK(count >= 3);
    CHECK(count <= 8);
    CHECK(std::abs(count - std::round(count)) < 1e-9);
  }
}
