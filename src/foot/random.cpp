// Drawing feet. The standard distributions differ between libraries, so the normal deviates are made here.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/random.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "aplomb/geometry/types.h"

namespace aplomb::foot {

namespace {

class Deviates {
 public:
  explicit Deviates(std::uint64_t seed) : engine_(seed) {}
  /// In (0, 1), 53 bits.
  double uniform() { return (static_cast<double>(engine_() >> 11) + 0.5) * 0x1p-53; }
  /// Standard normal (Box and Muller 1958).
  double normal() { return std::sqrt(-2 * std::log(uniform())) * std::cos(2 * geometry::pi * uniform()); }

 private:
  std::mt19937_64 engine_;
};

ToePattern draw_pattern(Deviates& draw) {
  double u = draw.uniform();
  for (int p = 0; p < 2; ++p) {
    if (u < toe_pattern_share[p]) return static_cast<ToePattern>(p);
    u -= toe_pattern_share[p];
  }
  return ToePattern::square;
}

/// Egyptian toes keep the hallux longest and so on: the tips the pattern names are set against the ball, then jittered.
void draw_toes(ToePattern pattern, Deviates& draw, Numbers& numbers) {
  const double scale = *numbers[foot_length] / 240;
  const double ahead = *numbers[foot_length] - *numbers[ball_length];
  constexpr double ahead_at_240 = 63.3;  // what the anatomy tables have ahead of the ball
  for (int toe = 0; toe < toe_count; ++toe) {
    const double usual = egyptian_toe_length_mm[toe] + toe_pattern_shift_mm[static_cast<int>(pattern)][toe];
    const double own = std::clamp(draw.normal(), -2.0, 2.0) * toe_length_own_sd_mm;
    numbers[toe_length + toe] = usual * ahead / ahead_at_240 + own * scale;
  }
  // The longest toe ends where the foot ends; its own jitter would contradict the length.
  const int longest = pattern == ToePattern::greek ? 1 : 0;
  numbers[toe_length + longest].reset();
}

}  // namespace

Card random_card(const Prior& prior, std::uint64_t seed, const RandomOptions& options) {
  Deviates draw(seed);
  const double length_sd = std::sqrt(prior.covariance(foot_length, foot_length));
  const double length =
      std::clamp(options.length_mm.value_or(prior.mean[foot_length] + length_sd * draw.normal()), 120.0, 330.0);
  const ToePattern pattern = options.pattern ? *options.pattern : draw_pattern(draw);
  const Conditional by_length = given_length(prior, length);
  const Eigen::MatrixXd root = by_length.covariance.llt().matrixL();
  Card card;
  for (int attempt = 0; attempt < 100; ++attempt) {
    Eigen::VectorXd deviates(by_length.mean.size());
    for (auto& d : deviates) d = draw.normal();
    const Eigen::VectorXd drawn = by_length.mean + root * deviates;
    card.numbers = {};
    card.numbers[foot_length] = length;
    for (std::size_t k = 0; k < by_length.index.size(); ++k)
      card.numbers[by_length.index[k]] = drawn[static_cast<Eigen::Index>(k)];
    draw_toes(pattern, draw, card.numbers);
    card.numbers[mass] = std::max(35.0, options.mass_kg + options.mass_sd_kg * draw.normal());
    const auto& table = number_table();
    bool possible = !contradiction_in(card.numbers);
    for (int i = 0; i < number_count; ++i)
      possible = possible && (!card.numbers[i] ||
                              (*card.numbers[i] >= table[i].range.min && *card.numbers[i] <= table[i].range.max));
    if (possible) break;
  }
  return card;
}

io::Result<Foot> random_foot(const ShapeModel& model, const Prior& prior, std::uint64_t seed,
                             const RandomOptions& options) {
  FitOptions fit;
  fit.unlikely_sds = 1e9;
  return fit_card(random_card(prior, seed, options), model, prior, fit);
}

}  // namespace aplomb::foot
