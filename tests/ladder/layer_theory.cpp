// The surface's settlement under a pressure with Hankel transform P(w) is (1 - nu^2)/E times the transform of P L(w h),
// where L is 1 for a half space and smaller for a layer on bone. Writing P as the cosine transform of phi(t) on the
// contact turns the mixed problem into a Fredholm equation of the second kind,
//   phi(t) - 1/pi int_0^a phi(s) [K(t - s) + K(t + s)] ds = depth - t^2/R,   K(u) = int_0^inf (1 - L(w)) cos(w u) dw,
// and the free edge asks phi(a) = 0, which gives the depth. Then F = 2 E* int phi and p(0) = -E*/pi int phi'(t)/t dt.
// For L = 1 these are Hertz's.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "layer_theory.h"

#include <Eigen/LU>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>
#include <numbers>

namespace aplomb::ladder {

namespace {

constexpr double pi = std::numbers::pi;
constexpr int on_contact = 40;

struct Rule {
  Eigen::ArrayXd x, weight;  // on 0..1
};
template <int n>
Rule gauss_rule() {
  const auto& half_x = boost::math::quadrature::gauss<double, n>::abscissa();
  const auto& half_w = boost::math::quadrature::gauss<double, n>::weights();
  Rule rule{Eigen::ArrayXd(n), Eigen::ArrayXd(n)};
  for (int i = 0; i < n / 2; ++i) {  // n even: no point in the middle
    const auto k = static_cast<std::size_t>(i);
    rule.x[i] = (1 - half_x[k]) / 2;
    rule.x[n - 1 - i] = (1 + half_x[k]) / 2;
    rule.weight[i] = rule.weight[n - 1 - i] = half_w[k] / 2;
  }
  return rule;
}

/// 1 - L(w): falls as w^2 e^(-2w).
double stiffening(double w, double nu) {
  const double k = 3 - 4 * nu, e = std::exp(-2 * w);
  const double top = 2 * k * (1 - e * e) - 8 * w * e, bottom = 2 * k * (1 + e * e) + 2 * e * (1 + k * k + 4 * w * w);
  return 1 - top / bottom;
}

/// K(u) and its derivative, lengths in thicknesses.
struct Kernel {
  Eigen::ArrayXd w, f;
  explicit Kernel(double nu) {
    constexpr int panels = 24;
    constexpr double end = 24;  // e^(-48)
    const Rule rule = gauss_rule<20>();
    w.resize(panels * 20);
    f.resize(panels * 20);
    for (int p = 0; p < panels; ++p)
      for (int i = 0; i < 20; ++i) {
        const int k = 20 * p + i;
        w[k] = end / panels * (p + rule.x[i]);
        f[k] = end / panels * rule.weight[i] * stiffening(w[k], nu);
      }
  }
  double value(double u) const { return (f * (w * u).cos()).sum(); }
  double slope(double u) const { return -(f * w * (w * u).sin()).sum(); }
};

}  // namespace

double oedometric_modulus_MPa(const BondedLayer& layer) {
  return layer.E_MPa * (1 - layer.nu) / ((1 + layer.nu) * (1 - 2 * layer.nu));
}

SphereContact press_to_radius(const BondedLayer& layer, double sphere_radius_mm, double contact_radius_mm) {
  const double h = layer.thickness_mm, R = sphere_radius_mm / h, a = contact_radius_mm / h;
  const double E = layer.E_MPa / (1 - layer.nu * layer.nu);
  const Kernel kernel(layer.nu);
  const Rule rule = gauss_rule<on_contact>();
  const Eigen::ArrayXd t = a * rule.x, weight = a * rule.weight;
  Eigen::MatrixXd A = Eigen::MatrixXd::Identity(on_contact, on_contact), slope(on_contact, on_contact);
  Eigen::RowVectorXd edge(on_contact);
  for (int j = 0; j < on_contact; ++j) {
    for (int i = 0; i < on_contact; ++i) {
      A(i, j) -= weight[j] / pi * (kernel.value(t[i] - t[j]) + kernel.value(t[i] + t[j]));
      slope(i, j) = weight[j] / pi * (kernel.slope(t[i] - t[j]) + kernel.slope(t[i] + t[j]));
    }
    edge[j] = weight[j] / pi * (kernel.value(a - t[j]) + kernel.value(a + t[j]));
  }
  Eigen::MatrixXd right(on_contact, 2);
  right << Eigen::VectorXd::Ones(on_contact), t.square().matrix() / R;
  const Eigen::MatrixXd part = A.partialPivLu().solve(right);  // phi = depth part_0 - part_1
  const double depth = (a * a / R + edge.dot(part.col(1))) / (1 + edge.dot(part.col(0)));
  const Eigen::VectorXd phi = depth * part.col(0) - part.col(1);
  const Eigen::ArrayXd phi_slope = (slope * phi).array() - 2 * t / R;
  return {contact_radius_mm, depth * h, 2 * E * h * h * (weight * phi.array()).sum(),
          -E / pi * (weight * phi_slope / t).sum()};
}

SphereContact press_to_depth(const BondedLayer& layer, double sphere_radius_mm, double depth_mm) {
  // Between half space, a^2 = R d, and incompressible thin layer, a^2 = 4 R d.
  double low = 0.9 * std::sqrt(sphere_radius_mm * depth_mm), high = 2.1 * std::sqrt(sphere_radius_mm * depth_mm);
  SphereContact found;
  for (int i = 0; i < 50; ++i) {
    const double middle = (low + high) / 2;
    found = press_to_radius(layer, sphere_radius_mm, middle);
    (found.depth_mm < depth_mm ? low : high) = middle;
    if (std::abs(found.depth_mm - depth_mm) < 1e-9 * depth_mm) break;
  }
  return found;
}

}  // namespace aplomb::ladder
