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

/// Air between neighbouring toes in front of the webs of the template, mm at 240 mm (meshes/foot).
constexpr double toe_gap_mm = 1.1;

/// The tips that the pattern names are set against the ball, then jittered.
void draw_toes(ToePattern pattern, Deviates& draw, Numbers& numbers) {
  const double scale = *numbers[foot_length] / 240;
  const double ahead = *numbers[foot_length] - *numbers[ball_length];
  constexpr double ahead_at_240 = 63.3;  // what the anatomy tables have ahead of the ball
  // Tips of a square pattern are level by its definition: with the whole spread every third one would be no square.
  const double spread = pattern == ToePattern::square ? 0.5 : 1;
  for (int toe = 0; toe < toe_count; ++toe) {
    const double usual = egyptian_toe_length_mm[toe] + toe_pattern_shift_mm[static_cast<int>(pattern)][toe];
    const double own = std::clamp(draw.normal(), -2.0, 2.0) * toe_length_own_sd_mm * spread;
    numbers[toe_length + toe] = usual * ahead / ahead_at_240 + own * scale;
  }
  // The longest toe ends where the foot ends; its own jitter would contradict the length.
  const int longest = pattern == ToePattern::greek ? 1 : 0;
  numbers[toe_length + longest].reset();
}

/// A number that is no dimension, within two SD of what is usual.
double drawn_usual(const Prior& prior, int number, const Numbers& numbers, Deviates& draw) {
  const Usual usual = usual_of(prior, number, numbers);
  return usual.value + usual.sd * std::clamp(draw.normal(), -2.0, 2.0);
}

bool possible(const Numbers& numbers) {
  if (contradiction_in(numbers)) return false;
  // A hallux that leans away from the other toes comes from surgery or injury, not with growth.
  if (*numbers[hallux_angle] < 0) return false;
  double toes = 4 * toe_gap_mm * *numbers[foot_length] / 240;
  for (int toe = 0; toe < toe_count; ++toe) toes += *numbers[toe_breadth + toe];
  if (toes > *numbers[foot_breadth]) return false;
  for (int i = 0; i < number_count; ++i) {
    const auto& range = number_table()[i].range;
    if (numbers[i] && (*numbers[i] < range.min || *numbers[i] > range.max)) return false;
  }
  return true;
}

/// One seed's foot: its length and toe pattern, and as many cards of such a foot as are asked for.
class CardDrawer {
 public:
  CardDrawer(const Prior& prior, std::uint64_t seed, const RandomOptions& options) : prior_(prior), draw_(seed) {
    const double length_sd = std::sqrt(prior.covariance(foot_length, foot_length));
    length_mm_ =
        std::clamp(options.length_mm.value_or(prior.mean[foot_length] + length_sd * draw_.normal()), 120.0, 330.0);
    pattern_ = options.pattern ? *options.pattern : draw_pattern(draw_);
  }

  Card next() {
    Card card;
    for (int attempt = 0; attempt < 100; ++attempt) {
      card.numbers = drawn();
      if (possible(card.numbers)) break;
    }
    return card;
  }

 private:
  Numbers drawn() {
    Numbers numbers;
    numbers[foot_length] = length_mm_;
    numbers[mass] = drawn_usual(prior_, mass, numbers, draw_);
    const Conditional rest = given_length(prior_, length_mm_, numbers[mass]);
    Eigen::VectorXd deviates(rest.mean.size());
    for (auto& d : deviates) d = draw_.normal();
    const Eigen::VectorXd values = rest.mean + rest.covariance.llt().matrixL() * deviates;
    for (std::size_t k = 0; k < rest.index.size(); ++k) numbers[rest.index[k]] = values[static_cast<Eigen::Index>(k)];
    draw_toes(pattern_, draw_, numbers);
    // No foot is broader without weight than with it, or squeezed than not.
    numbers[breadth_relaxed] = std::min(drawn_usual(prior_, breadth_relaxed, numbers, draw_), *numbers[foot_breadth]);
    numbers[breadth_squeezed] =
        std::min(drawn_usual(prior_, breadth_squeezed, numbers, draw_), *numbers[breadth_relaxed]);
    numbers[plantarflexion] = drawn_usual(prior_, plantarflexion, numbers, draw_);
    return numbers;
  }

  const Prior& prior_;
  Deviates draw_;
  double length_mm_ = 0;
  ToePattern pattern_ = ToePattern::egyptian;
};

/// Of cards whose numbers no foot meets together about one in two hundred is drawn: so many in a row are not.
constexpr int most_draws = 10;

}  // namespace

Card random_card(const Prior& prior, std::uint64_t seed, const RandomOptions& options) {
  return CardDrawer(prior, seed, options).next();
}

io::Result<Foot> random_foot(const ShapeModel& model, const Prior& prior, std::uint64_t seed,
                             const RandomOptions& options) {
  FitOptions fit;
  fit.unlikely_sds = 1e9;
  CardDrawer drawer(prior, seed, options);
  io::Result<Foot> foot = fit_card(drawer.next(), model, prior, fit);
  for (int draw = 1; !foot && draw < most_draws; ++draw) foot = fit_card(drawer.next(), model, prior, fit);
  return foot;
}

}  // namespace aplomb::foot
