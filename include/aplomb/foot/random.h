// Feet drawn from the prior, for studies and tests.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>

#include "aplomb/foot/card.h"
#include "aplomb/foot/fit.h"
#include "aplomb/foot/prior.h"
#include "aplomb/foot/shape.h"
#include "aplomb/io/error.h"

namespace aplomb::foot {

struct RandomOptions {
  std::optional<double> length_mm;    ///< drawn from the prior when not given; 120-330
  std::optional<ToePattern> pattern;  ///< drawn by toe_pattern_share when not given
};

/// A dancer's card with every dimension, relaxed and squeezed breadth, pointing range and mass, drawn from the prior
/// given length and toe pattern; the longest toe's own length is left to follow from the foot's. The same seed and
/// options give the same card on every machine. Numbers of the standing foot. Drawn again: what contradicts itself, a
/// hallux that leans away from the other toes, and five toes that do not fit abreast in front of the ball. Numbers that
/// are no dimension stay within two SD.
Card random_card(const Prior& prior, std::uint64_t seed, const RandomOptions& options = {});

/// The foot of random_card(); where no foot meets its numbers together (fit_card() refuses them), that of the next card
/// of the same seed, length and pattern. Nothing drawn is called unlikely. Errors: as fit_card(), of the tenth card.
io::Result<Foot> random_foot(const ShapeModel& model, const Prior& prior, std::uint64_t seed,
                             const RandomOptions& options = {});

}  // namespace aplomb::foot
