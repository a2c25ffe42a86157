// Names of the shoe's numbers, and what they mean; they follow include/aplomb/shoe/parameters.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "words.h"

namespace aplomb::viewer {

const std::vector<ShoeGroup>& shoe_groups() {
  static const std::vector<ShoeGroup> groups{
      {"Length and ball",
       {{"inner_length_mm", "Inner length", "Inner platform face to the rear of the heel seat, along the sole.", 20},
        {"ball_breadth_mm", "Ball breadth", "Inner breadth of the box at the ball line.", 15},
        {"crown_height_mm", "Crown", "Inner height of the box at the ball line.", 10},
        {"ball_height_mm", "Ball line", "Height of the ball line above the inner platform face.", 10}},
       ShoeExtra::cut},
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
        {"sole_thickness_mm", "Sole thickness", "Shank and sole together, for drawing.", 2}},
       ShoeExtra::shank_table},
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

}  // namespace aplomb::viewer
