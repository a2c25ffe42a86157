// A pointe shoe as numbers: what a maker or fitter can measure or state, and nothing else.
//
// Frame S: origin the centre of the platform's OUTER face, +z the inward normal of that face (up the box), +x dorsal,
// +y medial of the foot it is on. The sole side is -x. Heights `_mm` of box parts are taken along z from the INNER face
// of the platform, distances "from the heel" along the sole from the rear end of the heel seat.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <filesystem>
#include <string>
#include <vector>

#include "aplomb/io/error.h"
#include "aplomb/io/toml.h"

namespace aplomb::shoe {

/// Straight: mirror-symmetric, serves either foot. Right and left may have unequal wings.
enum class Cut { straight, right, left };
enum class Throat { round, v };

/// Bending stiffness of shank and sole at one place.
struct StiffnessPoint {
  double from_heel_mm = 0;
  double EI_Nm2 = 0;
};

/// A soft layer in series with the skin under it: pressure - M ln(1 - d/h), straight at first, stiff when pressed flat.
struct SoftLayer {
  double thickness_mm = 0;  ///< 0: none
  double modulus_MPa = 0;   ///< M
};

/// Where padding lies. Tips lie over the toes' padding, metatarsal heads over the ball's: where both are given the
/// layers add.
enum class PadRegion : int { toes, toe_tips, ball, metatarsal_heads, heel, count };
inline constexpr int pad_region_count = static_cast<int>(PadRegion::count);
extern const char* const pad_region_names[pad_region_count];

/// What lies between foot and shoe, and between the toes. Toes in the order hallux, second, third, fourth, little.
struct Layers {
  static constexpr double tights_modulus_MPa = 0.5, padding_modulus_MPa = 0.15, spacer_modulus_MPa = 0.3,
                          tape_modulus_MPa = 2;  ///< where none is given [G]
  SoftLayer tights{0, tights_modulus_MPa};       ///< over the whole foot, not between the toes
  std::array<SoftLayer, pad_region_count> padding{};
  std::array<SoftLayer, 4> spacer{};  ///< between a toe and the next
  std::array<SoftLayer, 5> tape{};    ///< round a toe
};

/// [S] published, [C] computed, [G] engineering guess to be varied. NaN = not given: fill_proportional() sets it.
struct ShoeParameters {
  std::string name;
  Cut cut = Cut::straight;

  // Box, inner dimensions.
  double inner_length_mm = 240;     ///< inner platform face to the rear of the heel seat, along the sole
  double ball_breadth_mm = 86;      ///< inner breadth at the ball line
  double ball_height_mm = 62;       ///< height of the ball line; not given: 0.26 of the inner length [G]
  double platform_breadth_mm = 40;  ///< flat of the platform across; the flats of both faces have one outline
  double platform_height_mm = 23;   ///< flat of the platform, dorsal to plantar
  double platform_tilt_deg =
      4;  ///< lean of the box from the platform's normal, platform centre to ball centre, + dorsal
  double platform_thickness_mm = 6;  ///< [G]
  double wall_thickness_mm = 2.8;    ///< [G] 2-4
  double wall_E_GPa = 1;             ///< dry and new; what the wall gives follows from it and its thickness [G] 0.3-3
  double edge_radius_mm = 4;         ///< smallest radius of the inner fillet from platform to wall
  double plan_taper = 0.5;      ///< how the breadth grows from platform to ball: 0 = nearly all right after the edge,
                                ///< then parallel; 1 = evenly, a straight cone
  double profile_taper = 0.8;   ///< the same for the height of the section
  double crown_height_mm = 42;  ///< inner height of the section at the ball line
  double squareness = 2.5;      ///< superellipse exponent of the sections: 2 an ellipse, 4 nearly a rectangle
  double sole_flatness = 0.6;   ///< 0 sole side as round as the dorsum, 1 flat between two corners

  // Where the box ends, and the upper begins.
  double wing_medial_mm = 70;  ///< wing end above the inner platform face
  double wing_lateral_mm = 70;
  double wing_medial_softened =
      0;  ///< share of the wall's stiffness worked out of that side, past the platform, 0..0.9
  double wing_lateral_softened = 0;
  double vamp_length_mm = 56;  ///< throat above the inner platform face, at the middle of the dorsum
  Throat throat = Throat::round;
  double cap_length_mm =
      28;  ///< end of the stiff cap on the dorsum; vamp from there to the throat; not given: half the vamp [G]
  double sole_edge_mm = 59;  ///< end of the box on the sole, where the shank leaves it; not given: 0.95 ball_height [G]
  double heel_seat_breadth_mm = 55;  ///< not given: 0.23 of the inner length [G]
  double heel_seat_depth_mm = 6;     ///< how far the heel seat's rim stands above its middle [G]
  double back_seam_height_mm =
      52;                   ///< top of the back seam above the heel seat; not given: 0.215 of the inner length [G]
  double heel_tuck_mm = 0;  ///< cloth taken out of the upper by a tuck at the back seam

  // The vamp's cloth, pushed out at the middle of the throat: easily while its slack lasts, then tight.
  double vamp_slack_mm = 1.5;       ///< [G]
  double vamp_loose_N_per_mm = 4;   ///< [G] while slack
  double vamp_tight_N_per_mm = 40;  ///< [G] past it
  double vamp_drawn_mm = 4;         ///< [G] how far in the drawstring can draw it before the pleats stop it

  // Shank and sole, dry and new.
  double shank_length_mm = 181;  ///< from the sole edge toward the heel; not given: to the heel
  double shank_EI_Nm2 = 0.10;    ///< [G] full stack 0.05-0.15; ignored where the table says otherwise
  std::vector<StiffnessPoint>
      shank_EI_table;              ///< linear between its points, from_heel_mm rising; empty: shank_EI_Nm2 throughout
  double sole_EI_Nm2 = 0.012;      ///< [G] where there is no shank
  double sole_thickness_mm = 4.5;  ///< shank and sole together, for drawing [G]
  double prebend_deg = 0;          ///< turn already bent in, + as a pointed arch bends it
  double break_zone_from_mm = 0;   ///< broken-in stretch, from the heel; from = to: none
  double break_zone_to_mm = 0;
  double break_zone_softening = 0;  ///< share of EI lost there, 0..1

  Layers layers;

  // State and hold.
  double wear_hours = 0;                ///< stiffness halves every 8 h [G]
  double moisture = 0;                  ///< 0 dry .. 1 damp, which leaves 0.45 of the stiffness [G, damp 30-60 %]
  double lining_friction = 0.35;        ///< skin to lining [S] sock and insole range 0.2-0.6, doi 10.3390/s22155525
  double drawstring_N = 8;              ///< [G]
  double elastic_N = 12;                ///< ribbon and elastic at the ankle [G]; with the drawstring 20 N (5-60)
  double ribbon_from_heel_mm = 65;      ///< where ribbon and elastic are sewn; not given: 0.27 of the inner length [G]
  double upper_stiffness_N_per_mm = 5;  ///< upper from throat over the heel [G]
};

/// One number of ShoeParameters, for readers, sliders and sweeps.
struct NumberField {
  const char* key;
  double ShoeParameters::*member;
  io::Range range;
  bool required;  ///< in a file
};
const std::vector<NumberField>& number_fields();

/// Sets every NaN by its rule of proportion.
void fill_proportional(ShoeParameters& parameters);

/// Everything that can be wrong with the numbers, alone or together. The Error's field is the key to change.
io::Result<void> check(const ShoeParameters& parameters);

/// Of a shank told by its thickness: 0.10 N m^2 at 2.0 mm, by the cube (common practice: 1.8 / 2.0 / 2.5 mm stiffen
/// 0.73 : 1 : 1.95); and back.
double shank_EI_Nm2(double thickness_mm);
double shank_thickness_mm(double EI_Nm2);

/// Stiffness left by wear and moisture, 0..1; scales wall and shank.
double stiffness_left(const ShoeParameters& parameters);

/// Reads and checks a shoe file (format "aplomb-shoe"). Besides the names above it knows `shank_fraction` (share of the
/// way from sole edge to heel) in place of shank_length_mm, `shank_thickness_mm` in place of shank_EI_Nm2, and the
/// table [shank_stiffness] with arrays from_heel_mm and EI_Nm2. Soft layers: tables [tights], [padding.REGION],
/// [spacer.FIRST_SECOND] (hallux_second, second_third, third_fourth, fourth_little) and [tape.TOE], each with
/// thickness_mm and, if wanted, modulus_MPa.
io::Result<ShoeParameters> read_shoe(const std::filesystem::path& file);
/// The same from text; `file_name` only for errors.
io::Result<ShoeParameters> parse_shoe(std::string_view text, const std::string& file_name);

}  // namespace aplomb::shoe
