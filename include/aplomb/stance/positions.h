// The positions a fitter tries: for each what touches the floor, what holds the shoe on the foot, where up is in S, the
// load, the tibia, where the line of force passes, and what the joints do. Which findings apply: see Applies.
//
// | position        | floor touches        | foot held by              | up in S      | F    | tibia       |
// |-----------------|----------------------|---------------------------|--------------|------|-------------|
// | parallel        | box side, sole       | sole, seat, box           | off the sole | W/2  | upright     |
// | demi-plie       | box side, sole       | sole, seat, box           | off the sole | W/2  | 30 deg fwd  |
// | on-box          | platform             | bands, rod, box           | +z           | hand | upright     |
// | demi-pointe     | box side (ball)      | box, bands, rod and hinge | off the sole | W/2  | upright     |
// | full-pointe-two | platform             | box, bands, rod           | +z           | W/2  | upright     |
// | full-pointe-one | platform             | box, bands, rod           | +z           | W    | upright     |
// | roll-down       | platform, then its   | as full-pointe-two, then  | +z, turning  | W/2  | upright     |
// |                 | edge, box side, sole | as demi-pointe            | to off sole  |      |             |
//
// | position        | line of force passes        | ankle         | midfoot              | toes               |
// |-----------------|-----------------------------|---------------|----------------------|--------------------|
// | parallel        | a given share of the length | aim sought    | sprung about rest    | as they grew       |
// | demi-plie       | a given share of the length | aim sought    | sprung, a little flat| as they grew       |
// | on-box          | not asked                   | over the toes | pointed              | held long          |
// | demi-pointe     | where the ball carries      | over the ball | sprung, fascia wound | as they grew       |
// | full-pointe-two | platform's centre, fore-aft | aim sought    | pointed              | held long          |
// | full-pointe-one | platform's centre           | aim sought,   | pointed              | held long          |
// |                 |                             | subtalar too  |                      |                    |
// | roll-down       | platform, edge; then where  | aim sought;   | pointed; then as on  | held long; then as |
// |                 | ball and heel carry         | then falling  | demi-pointe          | they grew          |
//
// Off the sole: at right angles to the sole side of the box where the sole leaves it. The shoe then lies on the floor
// with that side and its sole, which may lift off the floor but not pass it. On two feet the frontal balance is left to
// the other foot, so the subtalar joint is not steered and only the fore-aft margin is judged; on one foot both are.
// That, not the load alone, is why two feet at W/2 each is not one foot at half the load.
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

/// Which findings are made in a position; the others are null.
struct Applies {
  bool depth = false;  ///< depth, tip clearance
  bool sink = false;   ///< sink with its parts
  bool load = false;   ///< load share and kind, pressures, ankle moment, bend gained
  bool break_point = false;
  bool plumb = false;  ///< plumb, roll, twist, pointing used and left
  bool toe_room = false;
  bool heel_slack = false;
};
Applies applies(Position position);

/// Share of body weight on this shoe.
double load_share_of_weight(Position position);

}  // namespace aplomb::stance
