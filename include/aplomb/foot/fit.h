// From a card to a foot: maximum a posteriori least squares over the shape parameters.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/foot/build.h"
#include "aplomb/foot/card.h"
#include "aplomb/foot/foot.h"
#include "aplomb/foot/prior.h"
#include "aplomb/foot/shape.h"
#include "aplomb/io/error.h"

namespace aplomb::foot {

struct FitOptions {
  std::vector<std::string> accept_unlikely{};  ///< card keys whose surprising value is meant
  std::optional<double> mass_kg{};             ///< said elsewhere: counts before the card's
  double unlikely_sds = 3;                     ///< beyond this many SD given the rest a number needs to be accepted
  /// The foot shown keeps this much closer to the card than the caliper's doubt alone would ask; the covariance carries
  /// the caliper's doubt whole.
  double card_tightening = 10;
  int max_iterations = 40;
};

/// Fits the template to the card. The Foot's skin is the unloaded rest shape; `measurements` holds every card key, of
/// the foot as the card's load says, with SD and source ("card" or "prior"), and plan_box_length_mm,
/// plan_box_breadth_mm (standing); `residual` holds measured minus card of every dimension the card gave. Errors:
/// bad_input when the numbers contradict each other (the fit cannot meet length or breadth within 0.5 mm);
/// decision_needed when a number is unlikely and not accepted; bad_input when accept_unlikely names no key.
io::Result<Foot> fit_card(const Card& card, const Foot& mean, const Prior& prior, const FitOptions& options = {});
/// The same with a shape model already made, for many cards.
io::Result<Foot> fit_card(const Card& card, const ShapeModel& model, const Prior& prior,
                          const FitOptions& options = {});

/// The build inputs that a fitted foot was made of (what a foot file stores).
Build build_of(const Foot& foot);

}  // namespace aplomb::foot
