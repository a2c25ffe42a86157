// The tissue laws against their closed forms and tables.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <array>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "aplomb/contact/tissue.h"

using namespace aplomb::contact;

namespace {

constexpr double e = ramp_half_width_mm;

// Central difference; the laws are smooth, so h^2 f'''/6 is the whole error.
template <class F>
double slope(F f, double x, double h) {
  return (f(x + h) - f(x - h)) / (2 * h);
}

}  // namespace

TEST_CASE("ramp is zero, a quartic, then the identity, with two continuous derivatives") {
  CHECK(ramp(-e).value == 0);
  CHECK(ramp(-1).first == 0);
  CHECK(ramp(0).value == Approx(3 * e / 16).epsilon(1e-14));  // (0+e)^3 (3e-0) / (16 e^3)
  CHECK(ramp(0).first == Approx(0.5).epsilon(1e-14));
  CHECK(ramp(1).value == 1);
  CHECK(ramp(1).first == 1);
  CHECK(ramp(1).second == 0);

  const double step = 1e-13;
  for (double knot : {-e, e}) {
    const Jet before = ramp(knot - step), after = ramp(knot + step);
    CHECK(before.value == Approx(after.value).margin(1e-12));
    CHECK(before.first == Approx(after.first).margin(1e-9));
    CHECK(before.second == Approx(after.second).margin(1e-9));
  }
  for (double t = -0.0491; t < 0.05; t += 0.0037) {
    CAPTURE(t);
    CHECK(ramp(t).first == Approx(slope([](double x) { return ramp(x).value; }, t, 1e-6)).margin(1e-7));
    CHECK(ramp(t).second == Approx(slope([](double x) { return ramp(x).first; }, t, 1e-6)).margin(1e-6));
    CHECK(ramp(t).second > 0);
  }
  CHECK(ramp(0.3, 0.4).value == Approx(0.343 * 0.9 / (16 * 0.064)).epsilon(1e-14));
}

TEST_CASE("layer energy, pressure and stiffness are derivatives of each other up to the bone") {
  const Layer layer{.modulus_MPa = 1.5, .thickness_mm = 6};
  for (double x : {1e-6, 1e-3, 0.0499999, 0.05, 0.0500001, 0.3, 0.7, 0.979}) {
    CAPTURE(x);
    const double d = x * layer.thickness_mm, h = 1e-4 * std::min(d, layer.thickness_mm - d);
    const Jet jet = layer_energy(layer, d);
    CHECK(jet.first == Approx(slope([&](double t) { return layer_energy(layer, t).value; }, d, h)).epsilon(1e-6));
    CHECK(jet.second == Approx(slope([&](double t) { return layer_energy(layer, t).first; }, d, h)).epsilon(1e-6));
    CHECK(jet.first == Approx(-1.5 * std::log(1 - x)).epsilon(1e-9));
  }
  // Light touch: Winkler foundation, energy K d^2 / 2 with K = M/h, to the order x/3 of the next term.
  CHECK(layer_energy(layer, 6e-8).value == Approx(0.5 * 1.5 / 6 * 36e-16).epsilon(1e-8));
  // The series and the closed form meet.
  CHECK(layer_energy(layer, 0.3 * (1 - 1e-12)).value ==
        Approx(layer_energy(layer, 0.3 * (1 + 1e-12)).value).epsilon(1e-11));
  CHECK(layer_energy(layer, 0).value == 0);
  // Past the bone fraction: straight on, with its derivatives, and steep.
  for (double d : {6 * bone_fraction, 5.9, 6.0, 9.0}) {
    CAPTURE(d);
    const Jet jet = layer_energy(layer, d);
    CHECK(jet.first == Approx(slope([&](double t) { return layer_energy(layer, t).value; }, d, 1e-5)).epsilon(1e-6));
    CHECK(jet.second == Approx(1.5 / (6 * (1 - bone_fraction))));
  }
  CHECK(layer_energy(layer, 6).first > 5.8);  // MPa
}

// Closed form F = 2 pi R M h [(1-x) ln(1-x) + x], x = d/h, of the log law under a paraboloid (Johnson, Contact
// Mechanics, ch. 4.3, elastic foundation, with the pressure law exchanged): tabulated figures, and the same integral
// done numerically.
TEST_CASE("log layer under a sphere gives the tabulated force") {
  const double R = 10;
  const Layer layer{.modulus_MPa = 1.89655, .thickness_mm = 5};
  for (auto [x, force_N] : {std::pair(0.1, 3.08368), std::pair(0.5, 91.4144)}) {
    CAPTURE(x);
    const double d = x * 5;
    CHECK(2 * std::numbers::pi * R * layer_energy(layer, d).value == Approx(force_N).epsilon(3e-6));
    const auto ring = [&](double r) {
      return 2 * std::numbers::pi * r * layer_energy(layer, d - r * r / (2 * R)).first;
    };
    using Kronrod = boost::math::quadrature::gauss_kronrod<double, 31>;
    CHECK(Kronrod::integrate(ring, 0.0, std::sqrt(2 * R * d), 10, 1e-12) == Approx(force_N).epsilon(3e-6));
  }
}

// Two log layers in series, common pressure found by an independent evaluation of the same textbook law.
TEST_CASE("two layers in series share the tabulated pressure") {
  const Layer a{.modulus_MPa = 1.5, .thickness_mm = 6}, b{.modulus_MPa = 0.6, .thickness_mm = 4};
  CHECK(series_energy(a, b, 1).first_compression_mm == Approx(0.3865).margin(5e-5));
  CHECK(series_energy(a, b, 1).jet.first == Approx(0.09989).margin(5e-6));
  CHECK(series_energy(a, b, 4).first_compression_mm == Approx(1.7195).margin(5e-5));
  CHECK(series_energy(a, b, 4).jet.first == Approx(0.50655).margin(5e-6));

  for (double d : {1e-9, 0.01, 1.0, 4.0, 8.0, 9.8}) {
    CAPTURE(d);
    const SeriesJet s = series_energy(a, b, d), swapped = series_energy(b, a, d);
    CHECK(layer_energy(a, s.first_compression_mm).first == Approx(s.jet.first).epsilon(1e-12));
    CHECK(layer_energy(b, d - s.first_compression_mm).first == Approx(s.jet.first).epsilon(1e-11));
    const double h = 1e-4 * std::min(d, 10 - d);
    CHECK(s.jet.first == Approx(slope([&](double t) { return series_energy(a, b, t).jet.value; }, d, h)).epsilon(1e-6));
    CHECK(s.jet.second ==
          Approx(slope([&](double t) { return series_energy(a, b, t).jet.first; }, d, h)).epsilon(1e-6));
    CHECK(s.jet.value == swapped.jet.value);
    CHECK(s.jet.first == swapped.jet.first);
    CHECK(s.jet.second == swapped.jet.second);
    CHECK(s.first_compression_mm + swapped.first_compression_mm == Approx(d).epsilon(1e-12));
  }
  // Two equal layers are one layer of twice the thickness.
  CHECK(series_energy(a, a, 5).jet.first == Approx(layer_energy({.modulus_MPa = 1.5, .thickness_mm = 12}, 5).first));
  CHECK(series_energy(a, b, 0).jet.first == 0);
  for (double d : {9.9, 10.0, 13.0}) {  // both at the bone: one pressure, the depths add up
    CAPTURE(d);
    const SeriesJet s = series_energy(a, b, d);
    CHECK(layer_energy(a, s.first_compression_mm).first == Approx(s.jet.first).epsilon(1e-12));
    CHECK(layer_energy(b, d - s.first_compression_mm).first == Approx(s.jet.first).epsilon(1e-11));
    CHECK(s.jet.first ==
          Approx(slope([&](double t) { return series_energy(a, b, t).jet.value; }, d, 1e-5)).epsilon(1e-6));
  }
}

TEST_CASE("a stack of layers: one, two, equal ones, three in series") {
  const Layer a{.modulus_MPa = 1.5, .thickness_mm = 6}, b{.modulus_MPa = 0.6, .thickness_mm = 4},
      c{.modulus_MPa = 0.15, .thickness_mm = 3};
  const std::array<Layer, 3> all{a, b, c};
  CHECK(stack_energy({all.data(), 1}, 2).jet.first == layer_energy(a, 2).first);
  CHECK(stack_energy({all.data(), 2}, 2).jet.first == series_energy(a, b, 2).jet.first);
  // Three of one kind are one layer of their whole thickness: same strain.
  const std::array<Layer, 3> same{b, b, b};
  CHECK(stack_energy(same, 6).jet.first == Approx(layer_energy({.modulus_MPa = 0.6, .thickness_mm = 12}, 6).first));
  for (const double d : {1e-6, 0.5, 3.0, 9.0, 12.0, 14.0}) {
    CAPTURE(d);
    const SeriesJet s = stack_energy(all, d);
    // One pressure in all: the depth is the sum of what each gives under it, d_i = h_i (1 - exp(-p / M_i)).
    double sum = 0;
    for (const Layer& layer : all) sum += -layer.thickness_mm * std::expm1(-s.jet.first / layer.modulus_MPa);
    if (d < 7) CHECK(sum == Approx(d).epsilon(1e-9));  // further on the softest is at its bone fraction
    const double h = 1e-4 * d;
    CHECK(s.jet.first == Approx(slope([&](double t) { return stack_energy(all, t).jet.value; }, d, h)).epsilon(1e-6));
    CHECK(s.jet.second == Approx(slope([&](double t) { return stack_energy(all, t).jet.first; }, d, h)).epsilon(1e-5));
    CHECK(layer_energy(a, s.first_compression_mm).first == Approx(s.jet.first).epsilon(1e-9));
    CHECK(s.jet.first < layer_energy(a, std::min(d, 5.9)).first);  // padding always eases
  }
}

// kappa = K h / E that matches the total force of the exact bonded layer (integral equation; agrees with the series of
// Dimitriadis et al. 2002 for small contacts): nu .30 1.400; .40 1.976 and 1.798; .45 2.196 and 2.329 at a/h .5 and 2.
TEST_CASE("layer factor lies inside the exact bonded-layer figures") {
  CHECK(layer_factor(.30) == Approx(1.400));
  CHECK(layer_factor(.40) == Approx(1.9));
  for (double exact : {1.976, 1.798}) CHECK(layer_factor(.40) == Approx(exact).epsilon(.06));
  for (double exact : {2.196, 2.329}) CHECK(layer_factor(.45) == Approx(exact).epsilon(.04));
  CHECK(layer_factor(.2) == layer_factor(.30));
  CHECK(layer_factor(.49) == layer_factor(.45));
  CHECK(layer_factor(.35) == Approx(1.65));
  for (double nu = .30; nu < .445; nu += .01) CHECK(layer_factor(nu) < layer_factor(nu + .01));
}
