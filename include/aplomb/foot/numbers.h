// The numbers of a foot by name: what each one is, how it is taken, and between what bounds it can be at all.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "aplomb/io/toml.h"

namespace aplomb::foot {

/// Every number a card can carry. The first `dimension_count` are dimensions of the shape: the prior, the measuring and
/// the shape parameters all count them in this order. Rows of five run hallux, second, third, fourth, little.
enum Number : int {
  foot_length,
  ball_length,
  foot_breadth,
  heel_breadth,
  ball_girth,
  heel_ankle_girth,
  ankle_girth,
  bimalleolar_breadth,
  lateral_malleolus_height,
  arch_height,
  instep_height,
  hallux_angle,
  toe_length,                    // + toe
  toe_breadth = toe_length + 5,  // + toe
  toe_height = toe_breadth + 5,  // + toe
  dimension_count = toe_height + 5,
  toe_bend = dimension_count,  // + toe
  toe_lift = toe_bend + 5,     // + toe
  breadth_relaxed = toe_lift + 5,
  breadth_squeezed,
  plantarflexion,
  mass,
  age,
  number_count
};

/// One row of the table of numbers.
struct NumberInfo {
  std::string key;        ///< key on the card, e.g. "foot_length_mm" or "toes.hallux.length_mm"; the suffix is the unit
  io::Range range;        ///< outside it the number is refused as impossible
  double caliper_sd = 0;  ///< how well the number can be taken by hand, in its unit [guess]
  std::string how;        ///< how to take it
};

/// All numbers, indexed by Number.
const std::array<NumberInfo, number_count>& number_table();

/// The Number of a card key, or nothing.
std::optional<int> find_number(std::string_view key);

/// Numbers of one foot; nothing where not known.
using Numbers = std::array<std::optional<double>, number_count>;

}  // namespace aplomb::foot
