// Names of the positions and the share of weight in each.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/stance/positions.h"

#include <algorithm>

namespace aplomb::stance {

const std::vector<std::string>& position_names() {
  static const std::vector<std::string> names{"parallel",        "demi-plie",       "on-box",   "demi-pointe",
                                              "full-pointe-two", "full-pointe-one", "roll-down"};
  return names;
}

const char* name(Position position) { return position_names()[static_cast<std::size_t>(position)].c_str(); }

std::optional<Position> position_named(std::string_view text) {
  const auto& names = position_names();
  const auto it = std::find(names.begin(), names.end(), text);
  if (it == names.end()) return std::nullopt;
  return static_cast<Position>(it - names.begin());
}

Applies applies(Position position) {
  switch (position) {
    case Position::parallel:
    case Position::demi_plie:
      return {.load = true, .toe_room = true, .heel_slack = true};
    case Position::on_box:
      return {.depth = true, .heel_slack = true};
    case Position::demi_pointe:
      return {.load = true, .break_point = true};
    case Position::roll_down:
      return {.load = true, .break_point = true, .heel_slack = true};
    default:
      return {.depth = true, .sink = true, .load = true, .break_point = true, .plumb = true};
  }
}

double load_share_of_weight(Position position) {
  switch (position) {
    case Position::full_pointe_one:
      return 1.0;
    case Position::on_box:
      return 0.0;
    default:
      return 0.5;
  }
}

}  // namespace aplomb::stance
