// The table of numbers. Definitions follow ISO 7250-1 and ISO 8559-1 where they have one; bounds are wide: they only
// keep out what no foot can be (a wrong unit above all). What is merely rare is judged by the prior, not here.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/numbers.h"

#include "aplomb/foot/foot.h"

namespace aplomb::foot {

namespace {

std::array<NumberInfo, number_count> make_table() {
  std::array<NumberInfo, number_count> table;
  table[foot_length] = {
      "foot_length_mm", {120, 330}, 0.7, "back of the heel to the tip of the longest toe, along the foot"};
  table[ball_length] = {"ball_length_mm",
                        {75, 260},
                        1.5,
                        "back of the heel to the most bulging point of the big-toe joint, along the foot"};
  table[foot_breadth] = {"foot_breadth_mm", {45, 140}, 0.7, "greatest breadth across the ball, square to the length"};
  table[heel_breadth] = {"heel_breadth_mm", {30, 110}, 1.0, "breadth of the heel, a sixth of the length from its back"};
  table[ball_girth] = {"ball_girth_mm", {110, 340}, 1.5, "tape round the joints of the big and the little toe"};
  table[heel_ankle_girth] = {"heel_ankle_girth_mm",
                             {150, 450},
                             2.0,
                             "tape round the lower edge of the heel and the bend between foot and leg"};
  table[ankle_girth] = {"ankle_girth_mm", {105, 340}, 1.5, "least girth of the leg above the ankle bones, tape level"};
  table[bimalleolar_breadth] = {"bimalleolar_breadth_mm", {33, 105}, 1.0, "across both ankle bones, level"};
  table[lateral_malleolus_height] = {
      "lateral_malleolus_height_mm", {28, 105}, 1.5, "floor to the most bulging point of the outer ankle bone"};
  table[arch_height] = {"arch_height_mm", {5, 85}, 2.0, "floor to the bump on the inside of the midfoot (navicular)"};
  table[instep_height] = {"instep_height_mm", {28, 110}, 1.5, "floor to the top of the foot at half its length"};
  table[hallux_angle] = {"hallux_angle_deg",
                         {-15, 60},
                         2.0,
                         "between the first metatarsal and the big toe; + when the toe leans to the others"};
  table[breadth_relaxed] = {
      "foot_breadth_relaxed_mm", {40, 140}, 1.0, "breadth across the ball, no weight on the foot"};
  table[breadth_squeezed] = {
      "foot_breadth_squeezed_mm", {35, 140}, 1.0, "breadth across the ball, no weight, squeezed firmly by hand"};
  table[plantarflexion] = {
      "plantarflexion_deg",
      {30, 130},
      3.0,
      "her pointing range: turn of the foot against the lower leg (fibula to foot, standing on it)"};
  table[mass] = {"mass_kg", {12, 200}, 0.5, "body mass"};
  table[age] = {"age_years", {4, 100}, 0.5, "age"};
  for (int toe = 0; toe < toe_count; ++toe) {
    const std::string prefix = std::string("toes.") + toe_names[toe] + ".";
    table[toe_length + toe] = {prefix + "length_mm",
                               {toe == 0 ? 20.0 : 12.0, 110},
                               1.0,
                               "from the joint where the toe meets the ball (felt when it is lifted) to the tip"};
    table[toe_breadth + toe] = {prefix + "breadth_mm", {4, 45}, 0.7, "across the toe at its pad, not pressed"};
    table[toe_height + toe] = {prefix + "height_mm", {4, 45}, 0.7, "thickness of the toe at its pad, sole to nail"};
    table[toe_bend + toe] = {
        prefix + "bend_deg", {-10, 100}, 5.0, "bend of the toe at its first knuckle beyond the usual"};
    table[toe_lift + toe] = {prefix + "lift_mm", {0, 40}, 1.0, "clearance of the toe's pad above the floor, standing"};
  }
  return table;
}

}  // namespace

const std::array<NumberInfo, number_count>& number_table() {
  static const std::array<NumberInfo, number_count> table = make_table();
  return table;
}

std::optional<int> find_number(std::string_view key) {
  const auto& table = number_table();
  for (int i = 0; i < number_count; ++i)
    if (table[i].key == key) return i;
  return std::nullopt;
}

}  // namespace aplomb::foot
