// What findings mean; the words follow DEVELOPERS.md.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "words.h"

#include <utility>

namespace aplomb::viewer {

std::string finding_words(std::string_view key) {
  static const std::vector<std::pair<std::string_view, const char*>> words{
      {"depth_mm", "How much lower the toe joints stand than on straight toes that just touch the platform."},
      {"tip_clearance_seated_mm", "Toe tips to the platform once the foot is in, before weight."},
      {"sink_mm", "How far the toe joints come down from seated to rest: slide, tissue and curl together."},
      {"crowding_index", "Breadth that the toes lose in the box, of their free breadth."},
      {"load_share.platform", "Percent of the load under the toe tips. The shares are not adjusted to add up."},
      {"load_share.wall_normal", "Percent of the load that the wall carries by pressing on the foot."},
      {"load_share.wall_friction", "Percent of the load that skin holds on the lining."},
      {"load_share.vamp", "Percent of the load over the toes and their joints."},
      {"load_share.shank_heel", "Percent of the load on shank, sole and heel."},
      {"peak_kPa", "Largest mean over 0.5 cm² of skin. Compare shoes for one foot, not dancers."},
      {"plumb.margin_mm", "Centre of pressure to the platform's edge; negative: she does not get over."},
      {"side_roll_deg", "Lean of the foot to a side."},
      {"twist_deg", "Turn of the foot about its length."},
      {"heel_slack_mm", "On the box the fold that can be pinched; standing, the length left behind the heel."},
      {"wall_give_mm", "Furthest that the wall of the box moves outward at rest."},
      {"toes.squeeze", "Breadth that the toe loses between its neighbours and the box."},
      {"toes.load", "Percent of the load that the toe's own skin carries."},
      {"toes.peak", "Largest mean over 0.5 cm² of the toe's skin."},
      {"toes.overlap", "How far the toe lies over or under the next one; 0: side by side."},
      {"toes.bend", "How much the toe curls from seated to rest; +: more curled."},
      {"toes.sink", "How far the toe's own joint at the ball comes down from seated to rest."},
      {"toes.toe room", "Toe tip to the front of the box."},
      {"toes.gap above", "Skin to the wall over the toe; -: the wall presses."},
      {"toes.crown gap", "Skin to the crown over the toe's joint; -: the crown presses."},
      {"toes.vamp cover", "Vamp's edge past the crease at the toe's root."},
      {"height.Heel height", "Heel of the foot over the floor."},
      {"height.on the floor", "What of the shoe is on the floor."},
      {"height.heel slack", "Length of sole left behind the heel; -: the heel hangs over its end."},
      {"height.sole off the foot", "Where the sole is farthest from the foot, between ball and heel."},
      {"height.from the heel", "How far that is from the heel."},
      {"height.toe joint", "How far the big toe's joint is bent up."},
      {"height.ankle", "Moment that the ankle has to hold."},
      {"height.peak", "Largest mean over 0.5 cm² of skin."},
      {"fact.goes_in", "The heel reaches its seat, with box and sole carrying the foot."},
      {"fact.gets_over", "Whether the centre of pressure is inside the platform's edge."},
      {"fact.rolls_through", "Whether she stands over the ball with toe joints inside their range."},
      {"inputs.foot", "The card, scan or foot file."},
      {"inputs.shoe", "The shoe file, with what was changed by hand."},
      {"inputs.load_N", "Vertical, at the ankle."},
      {"inputs.friction", "How much skin holds on the lining; a guess between people and tights."},
      {"converged", "Whether every force balances, and how long that took."},
      {"force_balance_error", "What the forces do not add up to."},
      {"version", "Of the program that solved it."},
      {"inputs.hashes", "Tells whether two answers are of the same numbers."},
  };
  for (const auto& [name, text] : words)
    if (name == key) return text;
  return {};
}

}  // namespace aplomb::viewer
