// Quantiles of an expansion cost a few thousand polynomial values, so they are taken by counting.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/bands/band.h"

#include <algorithm>
#include <cmath>

namespace aplomb::bands {

using Eigen::Index;
using Eigen::VectorXd;

double quantile(const VectorXd& sorted, double share) {
  const double at =
      std::clamp(share * static_cast<double>(sorted.size()) - 0.5, 0.0, static_cast<double>(sorted.size() - 1));
  const auto below = static_cast<Index>(at);
  const Index above = std::min(below + 1, sorted.size() - 1);
  return sorted[below] + (at - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

Band plain_band(const VectorXd& answers) {
  VectorXd sorted = answers;
  std::sort(sorted.begin(), sorted.end());
  const double n = static_cast<double>(sorted.size()), spread = std::sqrt(0.05 * 0.95 / n);
  const auto error = [&](double share) {
    return (quantile(sorted, share + spread) - quantile(sorted, share - spread)) / 2;
  };
  Band band{quantile(sorted, 0.05), quantile(sorted, 0.5), quantile(sorted, 0.95), false, 0, error(0.05), error(0.95)};
  return band;
}

Band band_of(const Chaos& chaos, const VectorXd& answers, const ChaosInputs& many) {
  if (!(chaos.q2 >= least_q2)) {
    Band band = plain_band(answers);
    band.q2 = chaos.q2;
    return band;
  }
  VectorXd values = many.values(chaos);
  // Of evenly filling inputs, neighbours in order lie in different places: a misfit goes to a whole stretch of them.
  for (Index i = 0; i < values.size(); ++i) values[i] += chaos.left_out[i * chaos.left_out.size() / values.size()];
  std::sort(values.begin(), values.end());
  const double error =
      std::sqrt((1 - std::min(chaos.q2, 1.0)) * (chaos.variance() / static_cast<double>(answers.size())));
  return {quantile(values, 0.05), quantile(values, 0.5), quantile(values, 0.95), true, chaos.q2, error, error};
}

}  // namespace aplomb::bands
