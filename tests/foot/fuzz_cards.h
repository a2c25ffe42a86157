// Random cards, from nonsense to plausible, for tests of what the fit does with anything.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cstdint>
#include <random>

#include "aplomb/foot/random.h"

namespace aplomb::foot::testing {

/// A third of the cards uniform within the ranges, mostly few numbers; a third drawn from the prior with some numbers
/// left out; a third of those shaken by up to 6 %. Loads, toes bent and lifted, breadths without load.
inline Card fuzz_card(const Prior& prior, std::uint64_t seed) {
  std::mt19937_64 engine(seed * 7919 + 17);
  const auto uniform = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(engine() >> 11) * 0x1p-53;
  };
  const auto& table = number_table();
  Card card;
  const int kind = static_cast<int>(seed % 3);
  if (kind == 0) {
    const double share = uniform(0, 0.5);
    for (int i = 0; i < number_count; ++i)
      if (i == foot_length || i == foot_breadth || uniform(0, 1) < share)
        card.numbers[i] = uniform(table[i].range.min, table[i].range.max);
  } else {
    card = random_card(prior, seed);
    for (int i = 0; i < number_count; ++i) {
      if (!card.numbers[i] || i == foot_length || i == foot_breadth) continue;
      if (uniform(0, 1) < 0.5)
        card.numbers[i].reset();
      else if (kind == 2)
        card.numbers[i] =
            std::clamp(*card.numbers[i] * (1 + uniform(-0.06, 0.06)), table[i].range.min, table[i].range.max);
    }
    for (int toe = 0; toe < toe_count; ++toe) {
      if (uniform(0, 1) < 0.1) card.numbers[toe_bend + toe] = uniform(0, 50);
      if (uniform(0, 1) < 0.1) card.numbers[toe_lift + toe] = uniform(0, 10);
    }
    if (uniform(0, 1) < 0.3) card.numbers[breadth_relaxed] = *card.numbers[foot_breadth] * uniform(0.94, 1.0);
    if (card.numbers[breadth_relaxed] && uniform(0, 1) < 0.5)
      card.numbers[breadth_squeezed] = *card.numbers[breadth_relaxed] - uniform(1, 7);
  }
  card.load = static_cast<Load>(engine() % 3);
  if (kind != 0 && card.load == Load::none) card.numbers[breadth_relaxed].reset();
  return card;
}

}  // namespace aplomb::foot::testing
