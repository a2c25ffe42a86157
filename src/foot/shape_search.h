// The search for the shape that a card asks for.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "aplomb/foot/prior.h"
#include "aplomb/foot/shape.h"
#include "aplomb/foot/sizes.h"

namespace aplomb::foot {

/// Sizes of the standing foot with straight toes.
Sizes sizes_at(const ShapeModel& model, const Shape& shape, bool with_slope, double smoothing_mm = 0);

/// SDs of the parameters themselves, too wide to matter but where the dimensions fail to hold them.
Shape ridge(const Conditional& prior);

/// What the search rests on: the prior given the length, and the card.
struct Question {
  const ShapeModel& model;
  const Conditional& prior;
  const std::vector<int>& known;  ///< dimensions on the card, length and breadth among them
  Eigen::VectorXd target, sd;     ///< of each: mm or deg
  Shape usual;                    ///< where the parameters' own prior is centred
};

/// The shape of least cost from `start`, or nothing.
std::optional<Shape> best_shape(Question q, const Shape& start, int max_iterations);

}  // namespace aplomb::foot
