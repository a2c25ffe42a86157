// The words of the shoe's numbers follow include/aplomb/shoe/parameters.h, those of findings DEVELOPERS.md.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "words.h"

#include <array>
#include <utility>

namespace aplomb::viewer {

const std::vector<ShoeGroup>& shoe_groups() {
  static const std::vector<ShoeGroup> groups{
      {"Length and ball",
       {{"inner_length_mm", "Inner length", "Inner platform face to the rear of the heel seat, along the sole.", 20},
        {"ball_breadth_mm", "Ball breadth", "Inner breadth of the box at the ball line.", 15},
        {"crown_height_mm", "Crown", "Inner height of the box at the ball line.", 10},
        {"ball_height_mm", "Ball line", "Height of the ball line above the inner platform face.", 10}}},
      {"Platform",
       {{"platform_breadth_mm", "Platform breadth", "The flat of the platform, across.", 10},
        {"platform_height_mm", "Platform height", "The flat of the platform, from dorsum to sole.", 7},
        {"platform_tilt_deg", "Platform tilt", "Lean of the box from the platform's normal, + toward the dorsum.", 8},
        {"platform_thickness_mm", "Platform thickness", "From the floor to the toe tips' side.", 4}}},
      {"Box",
       {{"plan_taper", "Taper, seen from above", "0: broad right after the platform, then parallel; 1: evenly, a cone.",
         0},
        {"profile_taper", "Taper, seen from the side", "The same for the height of the box.", 0},
        {"squareness", "Squareness", "Of the sections: 2 an ellipse, 4 nearly a rectangle.", 0},
        {"sole_flatness", "Flatness of the sole side", "0 as round as the dorsum, 1 flat between two corners.", 0},
        {"edge_radius_mm", "Edge rounding", "Inside, from platform to wall.", 3},
        {"wall_thickness_mm", "Wall thickness", "Of the stiff box.", 1.5},
        {"wall_E_GPa", "Wall stiffness", "Young's modulus of the wall, dry and new. A guess: 0.3 to 3.", 2}}},
      {"Wings and vamp",
       {{"wing_medial_mm", "Wing, medial", "Wing end on the inner side, above the inner platform face.", 20},
        {"wing_lateral_mm", "Wing, lateral", "Wing end on the outer side, above the inner platform face.", 20},
        {"vamp_length_mm", "Vamp", "Throat above the inner platform face, in the middle of the dorsum.", 15},
        {"cap_length_mm", "Stiff cap", "End of the stiff cap on the dorsum; soft vamp from there to the throat.", 12},
        {"sole_edge_mm", "Sole edge", "Where the box ends on the sole and the shank leaves it.", 10},
        {"wing_medial_softened", "Wing softened, medial", "Share of the wall's stiffness worked out of that side.", 0},
        {"wing_lateral_softened", "Wing softened, lateral", "Share of the wall's stiffness worked out of that side.",
         0},
        {"vamp_slack_mm", "Vamp slack", "How far the cloth gives easily at the middle of the throat. A guess.", 4},
        {"vamp_loose_N_per_mm", "Vamp while slack", "Stiffness of the cloth while it is slack. A guess.", 12},
        {"vamp_tight_N_per_mm", "Vamp when tight", "Stiffness past the slack. A guess.", 120},
        {"vamp_drawn_mm", "Vamp drawn in", "How far the drawstring can draw it before the pleats stop it. A guess.",
         4}}},
      {"Shank and sole",
       {{"shank_EI_Nm2", "Shank stiffness", "Bending stiffness of shank and sole together, dry and new.", 0.08},
        {"shank_length_mm", "Shank cut to", "Length from the sole edge toward the heel.", 60},
        {"prebend_deg", "Pre-bend", "Turn already bent in, as a pointed arch bends it.", 25},
        {"break_zone_from_mm", "Bent zone from", "Stretch softened by hand, from the heel.", 40},
        {"break_zone_to_mm", "Bent zone to", "Its other end, from the heel.", 40},
        {"break_zone_softening", "Bent zone softened", "Share of stiffness lost there.", 0},
        {"sole_EI_Nm2", "Sole stiffness", "Where there is no shank.", 0.01},
        {"sole_thickness_mm", "Sole thickness", "Shank and sole together, for drawing.", 2}}},
      {"Heel and hold",
       {{"heel_seat_breadth_mm", "Heel seat breadth", "Breadth of the heel seat.", 10},
        {"heel_seat_depth_mm", "Heel seat depth", "How far its rim stands above its middle.", 5},
        {"back_seam_height_mm", "Back seam", "Top of the back seam above the heel seat.", 12},
        {"heel_tuck_mm", "Heel tuck", "Cloth taken out of the upper by a tuck at the back seam.", 12},
        {"drawstring_N", "Drawstring", "Tension of the drawstring.", 12},
        {"elastic_N", "Ribbon and elastic", "Tension at the ankle.", 20},
        {"ribbon_from_heel_mm", "Ribbon sewn at", "Where ribbon and elastic are sewn, from the heel.", 20},
        {"upper_stiffness_N_per_mm", "Upper stiffness", "Of the upper from throat over the heel.", 5}}},
      {"State",
       {{"wear_hours", "Wear", "Hours danced; stiffness halves every 8 h. A guess.", 25},
        {"moisture", "Moisture", "0 dry, 1 damp.", 0},
        {"lining_friction", "Lining friction", "Skin on lining; socks and insoles have 0.2 to 0.6.", 0.3}}}};
  return groups;
}

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

std::string unit_of(std::string_view key) {
  constexpr std::array<std::pair<std::string_view, const char*>, 12> units{{{"_N_per_mm3", "N/mm³"},
                                                                            {"_N_per_mm", "N/mm"},
                                                                            {"_MPa", "MPa"},
                                                                            {"_mm", "mm"},
                                                                            {"_deg", "deg"},
                                                                            {"_GPa", "GPa"},
                                                                            {"_Nm2", "N m²"},
                                                                            {"_Nm", "N m"},
                                                                            {"_N", "N"},
                                                                            {"_hours", "h"},
                                                                            {"_kg", "kg"},
                                                                            {"_years", "years"}}};
  for (const auto& [ending, unit] : units)
    if (key.ends_with(ending)) return unit;
  return {};
}

const std::vector<Shortcut>& shortcuts() {
  static const std::vector<Shortcut> list{
      {"drag", "turn the view"},
      {"right drag, Shift drag", "move the view"},
      {"wheel, + and -", "nearer, farther"},
      {"click", "what is there: region, pressure, gap, bone"},
      {"1 2 3 4 5", "front, inner side, outer side, under the platform, above"},
      {"arrows", "turn the view (when no widget has the keyboard)"},
      {"F", "frame all"},
      {"Page Up, Page Down", "position before, position after"},
      {"Space", "play the positions, stop"},
      {"B", "bones"},
      {"X", "box: see-through, cut away, hidden"},
      {"P", "skin: pressure, gap, crowding, difference"},
      {"S", "slice: none, across, along; [ and ] move it"},
      {"M", "marks"},
      {"D", "side by side"},
      {"A", "what helps: changes made, solved and offered"},
      {"U", "how sure: 5 to 95 % of every number"},
      {"K", "the shelf, when a stock is open"},
      {"C", "page for the client"},
      {"I", "millimetres, inches"},
      {"Ctrl+O", "open"},
      {"Ctrl+S, Ctrl+Shift+S", "save the session, under another name"},
      {"Ctrl+E", "export picture and page"},
      {"Ctrl+Z, Ctrl+Y", "undo, redo"},
      {"Ctrl and + - 0", "letters larger, smaller, as they were"},
      {"F6", "keyboard to the next panel: top, look, numbers, findings, positions"},
      {"arrows, Space", "there: from widget to widget, use it; on a slider Space, arrows, Space"},
      {"Enter, Tab", "type a slider's number; the next one's"},
      {"Esc", "close what is open; cancel how sure, the shelf, solving"},
      {"H, F1", "this help"},
      {"Ctrl+Q", "leave"},
  };
  return list;
}

}  // namespace aplomb::viewer
