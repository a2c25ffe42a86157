// Tone: a spring whose moment tends to its cap.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/spring.h"

#include <cmath>

namespace aplomb::contact {

Jet tone_energy(const JointSpring& spring, double x, double target, double load_factor) {
  if (!(spring.tone_stiffness > 0)) return {};
  const double held = spring.tone_unloaded + (1 - spring.tone_unloaded) * load_factor;
  const double k = spring.tone_stiffness, cap = spring.tone_cap, d = x - target;
  if (!(cap > 0)) return {held * k * d * d / 2, held * k * d, held * k};
  const double u = k * d / cap, th = std::tanh(u);
  // log cosh u without overflow
  const double log_cosh = std::abs(u) + std::log1p(std::exp(-2 * std::abs(u))) - std::log(2.0);
  return {held * cap * cap / k * log_cosh, held * cap * th, held * k * (1 - th * th)};
}

}  // namespace aplomb::contact
