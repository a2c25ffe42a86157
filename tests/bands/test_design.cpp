// Halton's points: what their definition says of the first of them, shuffled or not.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "aplomb/bands/design.h"

using namespace aplomb::bands;

TEST_CASE("Every column of the design holds one point in each cell of its base", "[bands][design]") {
  const std::uint64_t seed = GENERATE(1, 2, 99);
  const int primes[] = {2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47};
  const Eigen::MatrixXd points = design(47 * 47, 15, seed);
  CHECK(points.minCoeff() > 0);
  CHECK(points.maxCoeff() < 1);
  for (int k = 0; k < 15; ++k)
    for (const int count : {primes[k], primes[k] * primes[k]}) {
      std::set<int> cells;
      for (int i = 0; i < count; ++i) cells.insert(static_cast<int>(points(i, k) * count));
      CAPTURE(seed, k, count);
      CHECK(static_cast<int>(cells.size()) == count);
    }
}

TEST_CASE("The first two columns fill every box of 2^-a by 3^-b once (Halton 1960)", "[bands][design]") {
  const Eigen::MatrixXd points = design(8 * 9, 2, 7);
  std::set<int> boxes;
  for (int i = 0; i < points.rows(); ++i)
    boxes.insert(static_cast<int>(points(i, 0) * 8) * 9 + static_cast<int>(points(i, 1) * 9));
  CHECK(boxes.size() == 72);
}

TEST_CASE("No column of the design follows from two others", "[bands][design]") {
  // Of independent columns the correlation of one with a product of two others has an SD of 1 / sqrt(128) = .09; the
  // largest of 40 x 780 such lies near 4.2 SD. Sobol' points reach .65 here.
  Eigen::MatrixXd x = 2 * design(128, 40, 1).array() - 1;
  x *= std::sqrt(3.0);
  double largest = 0;
  for (int i = 0; i < 40; ++i)
    for (int j = 0; j < i; ++j)
      for (int k = 0; k < 40; ++k)
        if (k != i && k != j)
          largest = std::max(largest, std::abs(x.col(i).cwiseProduct(x.col(j)).dot(x.col(k))) / 128);
  CHECK(largest < 0.45);
}

TEST_CASE("A seed gives the same points however many are asked for, another seed others", "[bands][design]") {
  const Eigen::MatrixXd few = design(10, 5, 3), many = design(40, 5, 3), other = design(10, 5, 4);
  CHECK(few == many.topRows(10));
  CHECK((few - other).cwiseAbs().minCoeff() > 0);
}

TEST_CASE("Normal quantiles as in every table", "[bands][design]") {
  // Abramowitz and Stegun 1964, table 26.5.
  CHECK(normal_quantile(0.5) == Approx(0).margin(1e-15));
  CHECK(normal_quantile(0.95) == Approx(1.6448536270).epsilon(1e-9));
  CHECK(normal_quantile(0.025) == Approx(-1.9599639845).epsilon(1e-9));
}
