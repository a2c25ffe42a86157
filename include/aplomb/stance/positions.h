// The positions a fitter tries, and for each what touches, what holds and which findings apply.
//
// | position        | floor touches    | shoe held by      | S.z         | F   | tibia       | CoP               | joints            | solved |
// |-----------------|------------------|-------------------|-------------|-----|-------------|-------------------|-------------------|--------|
// | parallel        | outsole          | heel seat, upper  | horizontal  | W/2 | vertical    | input             | all, arch sprung  | later  |
// | demi-plie       | outsole          | heel seat, upper  | horizontal  | W/2 | leant fwd   | input             | all, arch sprung  | later  |
// | on-box          | platform         | hand              | up          | 0   | vertical    | none              | all               | later  |
// | demi-pointe     | ball of the sole | upper, ball hinge | turned 90   | W/2 | vertical    | ball              | all, MTP driven   | later  |
// | full-pointe-two | platform         | box, bands, rod   | up          | W/2 | vertical    | fore-aft sought   | all, ankle held   | yes    |
// | full-pointe-one | platform         | box, bands, rod   | up          | W   | vertical    | both ways sought  | all, ankle held   | yes    |
// | roll-down       | platform edge    | box, bands, rod   | turning     | W/2 | vertical    | over the edge     | all, ankle held   | later  |
//
// On pointe, heel slack and toe room do not apply (null): the first belongs to on-box, demi-plie and roll-down, the
// second to parallel and demi-plie. On two feet the frontal balance is left to the other foot, so the subtalar joint is
// not steered and only the fore-aft margin is judged; on one foot both are. That, not the load alone, is why two feet
// at W/2 each is not one foot at half the load.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aplomb::stance {

enum class Position { parallel, demi_plie, on_box, demi_pointe, full_pointe_two, full_pointe_one, roll_down };

/// Names as in files and commands: "parallel", "demi-plie", ...
const char* name(Position position);
std::optional<Position> position_named(std::string_view text);
const std::vector<std::string>& position_names();

/// Solved in this version.
bool is_solved(Position position);
/// Share of body weight on this shoe.
double load_share_of_weight(Position position);

}  // namespace aplomb::stance
