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
  double mass_kg = 54,
         mass_sd_kg = 7;  ///< college dancers 57.2 +- 6.9, vocational students 53.1 +- 8.8 kg (literature); 35 at least
};

/// A card with every dimension, drawn from the prior given length and toe pattern. The same seed and options give the
/// same card on every machine. Numbers of the standing foot; contradictions between them are drawn again.
Card random_card(const Prior& prior, std::uint64_t seed, const RandomOptions& options = {});

/// The foot of random_card(). Nothing drawn is called unlikely. Errors: as fit_card().
io::Result<Foot> random_foot(const ShapeModel& model, const Prior& prior, std::uint64_t seed,
                             const RandomOptions& options = {});

}  // namespace aplomb::foot
