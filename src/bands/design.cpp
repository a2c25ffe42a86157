// Not Sobol' points, which fill few inputs more evenly: at a hundred points of forty inputs the upper half of one input
// is exactly where two others stand on the same side of their middles (all cells are told by sums of the same seven
// bits), so an input cannot be told from a product of two others, and points held out show the same. A fit to pure
// noise, itself such a column, then claims Q2 = .8. Halton's bases have nothing in common.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/bands/design.h"

#include <algorithm>
#include <boost/math/special_functions/erf.hpp>
#include <cmath>
#include <numeric>
#include <utility>
#include <vector>

namespace aplomb::bands {

namespace {

/// SplitMix64 (Steele, Lea, Flood 2014).
class Stream {
 public:
  explicit Stream(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    std::uint64_t x = state_ += 0x9e3779b97f4a7c15ULL;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9ULL;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebULL;
    return x ^ (x >> 31);
  }

 private:
  std::uint64_t state_;
};

std::vector<int> primes(int count) {
  std::vector<int> found;
  for (int n = 2; static_cast<int>(found.size()) < count; ++n)
    if (std::none_of(found.begin(), found.end(), [n](int p) { return n % p == 0; })) found.push_back(n);
  return found;
}

/// The digits 0 .. base - 1 in an order of its own for each place, down to what a double holds.
std::vector<std::vector<int>> shuffles(int base, Stream& draw) {
  std::vector<std::vector<int>> places;
  for (double cell = 1; cell > 0x1p-52; cell /= base) {
    std::vector<int> order(static_cast<std::size_t>(base));
    std::iota(order.begin(), order.end(), 0);
    for (std::size_t k = order.size(); k > 1; --k) std::swap(order[k - 1], order[draw.next() % k]);
    places.push_back(std::move(order));
  }
  return places;
}

}  // namespace

Eigen::MatrixXd design(int count, int inputs, std::uint64_t seed) {
  const std::vector<int> bases = primes(inputs);
  Stream seeds(seed);
  Eigen::MatrixXd points(count, inputs);
  for (int k = 0; k < inputs; ++k) {
    const int base = bases[static_cast<std::size_t>(k)];
    Stream draw(seeds.next());
    const std::vector<std::vector<int>> places = shuffles(base, draw);
    for (int i = 0; i < count; ++i) {
      double value = 0, cell = 1;
      int left = i;
      for (const std::vector<int>& order : places) {
        cell /= base;
        value += cell * order[static_cast<std::size_t>(left % base)];
        left /= base;
      }
      points(i, k) = std::clamp(value + cell / 2, 0x1p-60, 1 - 0x1p-53);
    }
  }
  return points;
}

double normal_quantile(double u) { return -std::sqrt(2.0) * boost::math::erfc_inv(2 * u); }

}  // namespace aplomb::bands
