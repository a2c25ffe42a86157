// Cubic splines with evenly spaced knots, in power form, for one or many components.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <algorithm>
#include <vector>

namespace aplomb::shoe {

/// Closed C2 curve in N components through samples at u = 0, 1, .. count-1; period = count.
template <int N>
class PeriodicSpline {
 public:
  using Value = Eigen::Array<double, N, 1>;

  PeriodicSpline() = default;
  explicit PeriodicSpline(const std::vector<Value>& samples) : cells_(samples.size()) {
    const std::size_t count = samples.size();
    const auto at = [&](std::size_t i) -> const Value& { return samples[i % count]; };
    // Second derivatives m solve m[i-1] + 4 m[i] + m[i+1] = 6 (second difference), cyclic. Each Jacobi sweep halves the
    // error and keeps the symmetry of the samples exactly.
    std::vector<Value> rhs(count), m(count), next(count);
    for (std::size_t i = 0; i < count; ++i) rhs[i] = m[i] = 6 * (at(i + count - 1) - 2 * at(i) + at(i + 1));
    for (int sweep = 0; sweep < 60; ++sweep) {
      for (std::size_t i = 0; i < count; ++i)
        next[i] = (rhs[i] - (m[(i + count - 1) % count] + m[(i + 1) % count])) / 4;
      m.swap(next);
    }
    for (std::size_t i = 0; i < count; ++i) {
      const Value &m0 = m[i], &m1 = m[(i + 1) % count];
      cells_[i] = {at(i), at(i + 1) - at(i) - (2 * m0 + m1) / 6, m0 / 2, (m1 - m0) / 6};
    }
  }

  /// Value and first two derivatives at u, any real number.
  void evaluate(double u, Value& value, Value& first, Value& second) const {
    const double count = static_cast<double>(cells_.size());
    if (u < 0 || u >= count) u -= count * std::floor(u / count);
    const int cell = std::min(static_cast<int>(u), static_cast<int>(cells_.size()) - 1);
    const double t = u - cell;
    const auto& c = cells_[cell];
    value = c[0] + t * (c[1] + t * (c[2] + t * c[3]));
    first = c[1] + t * (2 * c[2] + (3 * t) * c[3]);
    second = 2 * c[2] + (6 * t) * c[3];
  }

  int count() const { return static_cast<int>(cells_.size()); }

 private:
  std::vector<std::array<Value, 4>> cells_;
};

/// Two C2 functions of one variable on [start, start + step * cells], clamped to given end slopes; continued by their
/// end cells.
class SplinePair {
 public:
  using Pair = Eigen::Array2d;

  SplinePair() = default;
  SplinePair(double start, double step, const std::vector<Pair>& samples, const Pair& first_slope,
             const Pair& last_slope)
      : start_(start), per_unit_(1 / step), cells_(samples.size() - 1) {
    // Thomas algorithm for the second derivatives (per cell width squared).
    const std::size_t n = samples.size();
    std::vector<double> upper(n);
    std::vector<Pair> m(n);
    const auto slope = [&](std::size_t i) -> Pair { return samples[i + 1] - samples[i]; };
    upper[0] = 0.5;
    m[0] = 3 * (slope(0) - first_slope * step);
    for (std::size_t i = 1; i < n; ++i) {
      const bool last = i + 1 == n;
      const Pair rhs = last ? Pair(6 * (last_slope * step - slope(i - 1))) : Pair(6 * (slope(i) - slope(i - 1)));
      const double pivot = (last ? 2 : 4) - upper[i - 1];
      upper[i] = 1 / pivot;
      m[i] = (rhs - m[i - 1]) / pivot;
    }
    for (std::size_t i = n - 1; i-- > 0;) m[i] -= upper[i] * m[i + 1];
    for (std::size_t i = 0; i + 1 < n; ++i)
      cells_[i] = {samples[i], slope(i) - (2 * m[i] + m[i + 1]) / 6, m[i] / 2, (m[i + 1] - m[i]) / 6};
  }

  void evaluate(double x, Pair& value, Pair& first, Pair& second) const {
    const double s = (x - start_) * per_unit_;
    const int cell = std::clamp(static_cast<int>(s), 0, static_cast<int>(cells_.size()) - 1);
    const double t = s - cell;
    const auto& c = cells_[cell];
    value = c[0] + t * (c[1] + t * (c[2] + t * c[3]));
    first = (c[1] + t * (2 * c[2] + (3 * t) * c[3])) * per_unit_;
    second = (2 * c[2] + (6 * t) * c[3]) * (per_unit_ * per_unit_);
  }

 private:
  double start_ = 0, per_unit_ = 1;  // cells per unit of x
  std::vector<std::array<Pair, 4>> cells_;
};

}  // namespace aplomb::shoe
