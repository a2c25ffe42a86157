// Where a falling function vanishes.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <boost/math/tools/toms748_solve.hpp>
#include <cstdint>

namespace aplomb::stance {

/// The x between low and high at which f(x) falls to zero, to about 1e-12 of the range; low where f begins at or below
/// it, high where f stays above.
template <class F>
double falls_to_zero(F f, double low, double high) {
  const double at_low = f(low);
  if (!(at_low > 0)) return low;
  const double at_high = f(high);
  if (at_high > 0) return high;
  const double close = 1e-12 * (high - low);
  std::uintmax_t most = 60;
  const auto root = boost::math::tools::toms748_solve(
      f, low, high, at_low, at_high, [close](double a, double b) { return b - a < close; }, most);
  return (root.first + root.second) / 2;
}

}  // namespace aplomb::stance
