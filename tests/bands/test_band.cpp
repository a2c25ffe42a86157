// Bands of expansions against closed forms and against plain Monte Carlo.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "aplomb/bands/band.h"
#include "aplomb/bands/design.h"

using namespace aplomb::bands;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

MatrixXd standard(int count, const std::vector<Law>& laws, std::uint64_t seed) {
  MatrixXd x = design(count, static_cast<int>(laws.size()), seed);
  for (Eigen::Index k = 0; k < x.cols(); ++k)
    for (Eigen::Index i = 0; i < x.rows(); ++i)
      x(i, k) = laws[static_cast<std::size_t>(k)] == Law::normal ? normal_quantile(x(i, k)) : 2 * x(i, k) - 1;
  return x;
}

}  // namespace

TEST_CASE("The band of a sum of normals is that of a normal", "[bands][band]") {
  const std::vector<Law> laws(6, Law::normal);
  const MatrixXd runs = standard(40, laws, 1);
  const VectorXd weights = (VectorXd(6) << 3, 0, 4, 0, 0, 0).finished();
  const VectorXd y = (runs * weights).array() + 10;
  const Band band = band_of(ChaosFit(runs, laws).fit(y), y, ChaosInputs(standard(8192, laws, 2), laws, 3));
  CHECK(band.by_chaos);
  // 8192 random points would leave an error of 5 sqrt(.05 x .95 / 8192) / .103 = .12; even ones about half.
  CHECK(band.low == Approx(10 - 5 * 1.6448536).margin(0.06));
  CHECK(band.median == Approx(10).margin(0.06));
  CHECK(band.high == Approx(10 + 5 * 1.6448536).margin(0.06));
}

TEST_CASE("The band of a curved answer is that of plain Monte Carlo", "[bands][band]") {
  const auto answer = [](double u, double v, double w) { return std::exp(0.4 * u) + v * w + 0.5 * v; };
  const std::vector<Law> laws = {Law::normal, Law::uniform, Law::normal, Law::uniform, Law::uniform};
  const MatrixXd runs = standard(120, laws, 3);
  VectorXd y(runs.rows());
  for (Eigen::Index i = 0; i < y.size(); ++i) y[i] = answer(runs(i, 0), runs(i, 1), runs(i, 2));
  const Band band = band_of(ChaosFit(runs, laws).fit(y), y, ChaosInputs(standard(8192, laws, 4), laws, 3));
  INFO("Q2 " << band.q2);
  CHECK(band.by_chaos);

  std::mt19937_64 engine(5);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> uniform(-1, 1);
  VectorXd drawn(200000);
  for (double& value : drawn) {
    const double u = normal(engine), v = uniform(engine), w = normal(engine);
    value = answer(u, v, w);
  }
  std::sort(drawn.begin(), drawn.end());
  const double width = drawn[190000] - drawn[10000];
  CHECK(band.low == Approx(drawn[10000]).margin(0.02 * width));
  CHECK(band.median == Approx(drawn[100000]).margin(0.02 * width));
  CHECK(band.high == Approx(drawn[190000]).margin(0.02 * width));
}

TEST_CASE("An answer that no polynomial follows falls back to the runs themselves", "[bands][band]") {
  const std::vector<Law> laws(3, Law::uniform);
  const MatrixXd runs = standard(200, laws, 6);
  VectorXd y(runs.rows());
  for (Eigen::Index i = 0; i < y.size(); ++i) y[i] = std::sin(40 * runs(i, 0)) * std::sin(40 * runs(i, 1));
  const Band band = band_of(ChaosFit(runs, laws).fit(y), y, ChaosInputs(standard(1024, laws, 7), laws, 3));
  CHECK_FALSE(band.by_chaos);
  CHECK(band.q2 < least_q2);
  const Band plain = plain_band(y);
  CHECK(band.low == plain.low);
  CHECK(band.high == plain.high);
  CHECK(band.low_error > 0);
}

TEST_CASE("Plain quantiles and how sure they are", "[bands][band]") {
  // 1..100: Hazen's rule puts share p at 100 p + .5; one standard deviation of the rank of the 5 % run is
  // sqrt(100 x .05 x .95) = 2.18 ranks.
  const Band band = plain_band(VectorXd::LinSpaced(100, 1, 100));
  CHECK(band.low == Approx(5.5));
  CHECK(band.median == Approx(50.5));
  CHECK(band.high == Approx(95.5));
  CHECK(band.low_error == Approx(std::sqrt(100 * 0.05 * 0.95)));
  CHECK(plain_band(VectorXd::Constant(1, 3)).high == 3);
}
