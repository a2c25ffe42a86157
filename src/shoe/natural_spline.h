// Natural cubic splines with even knots for several channels, continued in straight lines.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <Eigen/LU>
#include <algorithm>

namespace aplomb::shoe {

template <int N>
class NaturalSpline {
 public:
  using Value = Eigen::Array<double, N, 1>;

  NaturalSpline() = default;
  /// `samples` N x knots at start, start + step, ..; at least three knots.
  NaturalSpline(double start, double step, const Eigen::Array<double, N, Eigen::Dynamic>& samples)
      : start_(start), step_(step), value_(samples), bend_(samples) {
    const Eigen::Index inner = samples.cols() - 2;
    Eigen::MatrixXd A = Eigen::MatrixXd::Zero(inner, inner);
    Eigen::MatrixXd rhs(inner, N);
    for (Eigen::Index i = 0; i < inner; ++i) {
      A(i, i) = 4;
      if (i > 0) A(i, i - 1) = 1;
      if (i + 1 < inner) A(i, i + 1) = 1;
      rhs.row(i) = 6 * (samples.col(i) - 2 * samples.col(i + 1) + samples.col(i + 2)).matrix().transpose();
    }
    bend_.setZero();
    bend_.middleCols(1, inner) = A.partialPivLu().solve(rhs).transpose().array();  // second derivatives times step^2
  }

  /// Value and first two derivatives, C2 everywhere.
  void evaluate(double x, Value& value, Value& first, Value& second) const {
    const double s = (x - start_) / step_;
    const Eigen::Index last = value_.cols() - 2;
    const Eigen::Index cell = std::clamp(static_cast<Eigen::Index>(std::max(s, 0.0)), Eigen::Index{0}, last);
    const double t = s - static_cast<double>(cell);
    const Value c1 = value_.col(cell + 1) - value_.col(cell) - (2 * bend_.col(cell) + bend_.col(cell + 1)) / 6;
    const double inside = std::clamp(t, 0.0, 1.0);
    const Value c2 = bend_.col(cell) / 2, c3 = (bend_.col(cell + 1) - bend_.col(cell)) / 6;
    first = c1 + inside * (2 * c2 + (3 * inside) * c3);
    value = value_.col(cell) + inside * (c1 + inside * (c2 + inside * c3)) + (t - inside) * first;
    second = t == inside ? Value(2 * c2 + (6 * inside) * c3) : Value(Value::Zero());
    first /= step_;
    second /= step_ * step_;
  }

  Value value(double x) const {
    const double s = (x - start_) / step_;
    const Eigen::Index last = value_.cols() - 2;
    const Eigen::Index cell = std::clamp(static_cast<Eigen::Index>(std::max(s, 0.0)), Eigen::Index{0}, last);
    const double t = s - static_cast<double>(cell), inside = std::clamp(t, 0.0, 1.0);
    const Value c1 = value_.col(cell + 1) - value_.col(cell) - (2 * bend_.col(cell) + bend_.col(cell + 1)) / 6;
    const Value c2 = bend_.col(cell) / 2, c3 = (bend_.col(cell + 1) - bend_.col(cell)) / 6;
    const Value at = value_.col(cell) + inside * (c1 + inside * (c2 + inside * c3));
    if (t == inside) return at;
    return at + (t - inside) * (c1 + inside * (2 * c2 + (3 * inside) * c3));
  }

 private:
  double start_ = 0, step_ = 1;
  Eigen::Array<double, N, Eigen::Dynamic> value_, bend_;
};

}  // namespace aplomb::shoe
