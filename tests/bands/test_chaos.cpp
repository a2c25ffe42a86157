// Sparse expansions against the closed forms of two functions made to test sensitivity, and against least angle
// regression by hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "aplomb/bands/chaos.h"
#include "aplomb/bands/design.h"
#include "aplomb/geometry/types.h"
#include "least_angle.h"

using namespace aplomb::bands;
using aplomb::geometry::pi;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

/// Uniform on -1..1.
MatrixXd uniform_runs(int count, int inputs, std::uint64_t seed) {
  return (2 * design(count, inputs, seed).array() - 1).matrix();
}

template <class F>
VectorXd answers(const MatrixXd& runs, F f) {
  VectorXd y(runs.rows());
  for (Eigen::Index i = 0; i < runs.rows(); ++i) y[i] = f(runs.row(i));
  return y;
}

/// Uniform on -1..1, of nothing.
VectorXd noise(int count) {
  std::mt19937_64 engine(4);
  VectorXd drawn(count);
  for (double& value : drawn) value = 2 * (static_cast<double>(engine() >> 11) * 0x1p-53) - 1;
  return drawn;
}

}  // namespace

TEST_CASE("Polynomials are orthonormal under their law", "[bands][chaos]") {
  // By the midpoint rule, to 9 SD for the normal law.
  for (const Law law : {Law::normal, Law::uniform})
    for (int a = 0; a <= 4; ++a)
      for (int b = 0; b <= 4; ++b) {
        double sum = 0;
        constexpr int steps = 20000;
        const double reach = law == Law::normal ? 9 : 1;
        for (int i = 0; i < steps; ++i) {
          const double x = reach * (2 * (i + 0.5) / steps - 1);
          const double density = law == Law::normal ? std::exp(-x * x / 2) / std::sqrt(2 * pi) : 0.5;
          sum += orthonormal(law, a, x) * orthonormal(law, b, x) * density * 2 * reach / steps;
        }
        CAPTURE(a, b);
        CHECK(sum == Approx(a == b ? 1 : 0).margin(2e-6));
      }
}

TEST_CASE("A polynomial comes back term by term from few runs of many inputs", "[bands][chaos]") {
  // 30 inputs, 60 runs, five terms: far fewer runs than the 495 candidates of degree 2.
  const std::vector<Law> laws = [] {
    std::vector<Law> made(30, Law::uniform);
    made[4] = made[7] = Law::normal;
    return made;
  }();
  MatrixXd runs = uniform_runs(60, 30, 5);
  for (const int k : {4, 7})
    for (Eigen::Index i = 0; i < runs.rows(); ++i) runs(i, k) = normal_quantile((runs(i, k) + 1) / 2);
  const VectorXd y = answers(runs, [](const auto& x) {
    return 3 + 2 * orthonormal(Law::uniform, 1, x[0]) - 1.5 * x[4] + 0.8 * orthonormal(Law::normal, 2, x[7]) +
           0.5 * x[4] * x[7];
  });
  const Chaos chaos = ChaosFit(runs, laws).fit(y);
  CHECK(chaos.q2 > 0.999999);
  CHECK(chaos.mean() == Approx(3));
  CHECK(chaos.variance() == Approx(4 + 2.25 + 0.64 + 0.25));
  const SobolIndices s = sobol_indices(chaos);
  CHECK(s.first[0] == Approx(4 / 7.14));
  CHECK(s.first[4] == Approx(2.25 / 7.14));
  CHECK(s.total[4] == Approx(2.5 / 7.14));
  CHECK(s.total[7] == Approx(0.89 / 7.14));
  CHECK(s.total[10] == Approx(0).margin(1e-9));
}

TEST_CASE("Ishigami's function: Sobol' indices", "[bands][chaos]") {
  // Ishigami and Homma 1990: sin x1 + a sin^2 x2 + b x3^4 sin x1 on -pi..pi; closed forms in Sudret 2008
  // (doi 10.1016/j.ress.2007.04.002), appendix.
  constexpr double a = 7, b = 0.1;
  const double p4 = std::pow(pi, 4), p8 = p4 * p4;
  const double d1 = b * p4 / 5 + b * b * p8 / 50 + 0.5, d2 = a * a / 8, d13 = 8 * b * b * p8 / 225;
  const double d = d1 + d2 + d13;
  CHECK(d1 / d == Approx(0.3139).margin(5e-5));  // as published
  CHECK(d2 / d == Approx(0.4424).margin(5e-5));
  const MatrixXd runs = uniform_runs(256, 3, 1);
  const VectorXd y = answers(runs, [&](const auto& x) {
    const double s1 = std::sin(pi * x[0]), s2 = std::sin(pi * x[1]);
    return s1 + a * s2 * s2 + b * std::pow(pi * x[2], 4) * s1;
  });
  ChaosOptions options;
  options.max_degree = 14;
  options.patience = 100;  // its sines need degrees of which some are in vain
  const Chaos chaos = ChaosFit(runs, std::vector<Law>(3, Law::uniform), options).fit(y);
  INFO("Q2 " << chaos.q2 << ", " << chaos.terms.size() << " terms");
  CHECK(chaos.q2 > 0.999);
  CHECK(chaos.mean() == Approx(a / 2).margin(0.01));
  CHECK(chaos.variance() == Approx(d).epsilon(0.005));
  const SobolIndices s = sobol_indices(chaos);
  const double first[] = {d1 / d, d2 / d, 0}, total[] = {(d1 + d13) / d, d2 / d, d13 / d};
  for (int k = 0; k < 3; ++k) {
    CAPTURE(k);
    CHECK(s.first[k] == Approx(first[k]).margin(0.003));
    CHECK(s.total[k] == Approx(total[k]).margin(0.003));
  }
}

TEST_CASE("Sobol's G function: Sobol' indices", "[bands][chaos]") {
  // Saltelli and Sobol' 1995: product of (|4 x - 2| + a) / (1 + a) on 0..1; the first order parts of the variance are
  // 1 / (3 (1 + a)^2). It has kinks, so that no polynomial meets it: within .02.
  const std::vector<double> a = {0, 1, 4.5, 9, 99, 99, 99, 99};
  double d = 1;
  for (const double one : a) d *= 1 + 1 / (3 * (1 + one) * (1 + one));
  d -= 1;
  const MatrixXd runs = uniform_runs(512, 8, 1);
  const VectorXd y = answers(runs, [&](const auto& x) {
    double product = 1;
    for (int k = 0; k < 8; ++k) product *= (std::abs(2 * x[k]) + a[k]) / (1 + a[k]);
    return product;
  });
  ChaosOptions options;
  options.max_degree = 10;
  options.patience = 100;  // it is even in every input: odd degrees are all in vain
  const Chaos chaos = ChaosFit(runs, std::vector<Law>(8, Law::uniform), options).fit(y);
  INFO("Q2 " << chaos.q2 << ", " << chaos.terms.size() << " terms");
  CHECK(chaos.q2 > 0.98);
  const SobolIndices s = sobol_indices(chaos);
  for (int k = 0; k < 8; ++k) {
    const double own = 1 / (3 * (1 + a[k]) * (1 + a[k]));
    CAPTURE(k);
    CHECK(s.first[k] == Approx(own / d).margin(0.02));
    CHECK(s.total[k] == Approx(own * (1 + d) / (1 + own) / d).margin(0.02));
  }
}

TEST_CASE("Least angle regression takes orthogonal columns by their correlation", "[bands][chaos]") {
  // Efron et al. 2004: with orthogonal columns the order is that of |correlation|.
  MatrixXd X = MatrixXd::Zero(8, 4);
  for (int i = 0; i < 8; ++i) {
    X(i, 0) = i & 1 ? 1 : -1;
    X(i, 1) = i & 2 ? 1 : -1;
    X(i, 2) = i & 4 ? 1 : -1;
  }
  X /= std::sqrt(8.0);
  const VectorXd y = 1.0 * X.col(0) - 3.0 * X.col(1) + 2.0 * X.col(2);
  CHECK(least_angle_order(X, y, 4) == std::vector<int>{1, 2, 0});  // the zero column never
}

TEST_CASE("What held-out runs are missed by is that of fits without them", "[bands][chaos]") {
  const MatrixXd A = uniform_runs(24, 3, 2);
  const VectorXd y = answers(A, [](const auto& x) { return std::exp(x[0]) + 0.3 * x[1] * x[2] - x[2]; });
  const MatrixXd miss = held_out_misses(A.topRows(20), y.head(20), A.bottomRows(4), y.tail(4));
  for (Eigen::Index k = 0; k <= 3; ++k) {
    MatrixXd full = MatrixXd::Ones(24, k + 1);
    full.rightCols(k) = A.leftCols(k);
    const VectorXd c = full.topRows(20).colPivHouseholderQr().solve(y.head(20));
    CHECK((miss.col(k) - (y.tail(4) - full.bottomRows(4) * c)).norm() < 1e-12);
  }
}

TEST_CASE("Q2 is what new runs find", "[bands][chaos]") {
  // Answers with a part that no input explains: the share left out is known, and 400 runs that the fit never saw must
  // agree. Picking polynomials with all runs in sight would promise far more (see chaos.h).
  MatrixXd all = uniform_runs(500, 21, 8);
  all.col(20) = noise(500);
  const VectorXd y = answers(all, [](const auto& x) { return x[0] + 0.5 * x[1] + 0.6 * x[20]; });
  const std::vector<Law> laws(20, Law::uniform);
  const Chaos chaos = ChaosFit(all.topLeftCorner(100, 20), laws).fit(y.head(100));
  const VectorXd rest = y.tail(400);
  const VectorXd miss = rest - ChaosInputs(all.bottomLeftCorner(400, 20), laws, 3).values(chaos);
  const double found = 1 - miss.squaredNorm() / (rest.array() - rest.mean()).square().sum();
  CHECK(chaos.q2 == Approx(found).margin(0.12));  // the noise in 100 runs is known to 9 %, its share less
  CHECK(chaos.q2 < 1.25 / (1.25 + 0.36) + 0.05);
}

TEST_CASE("Constant answers, and noise that no input explains", "[bands][chaos]") {
  const MatrixXd runs = uniform_runs(64, 20, 3);
  const ChaosFit fit(runs, std::vector<Law>(20, Law::uniform));
  const Chaos constant = fit.fit(VectorXd::Constant(64, 4.5));
  CHECK(constant.q2 == 1);
  CHECK(constant.mean() == 4.5);
  CHECK(constant.variance() == 0);
  CHECK(sobol_indices(constant).total.isZero());
  CHECK(fit.fit(noise(64)).q2 < 0.2);
  // Nor does another column of the design, which the fit does not see.
  CHECK(fit.fit(uniform_runs(64, 21, 3).col(20)).q2 < 0.2);
}
