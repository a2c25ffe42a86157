// The constants of tissue, joints and hold: every guess is an input here, with its mark, and travels into the result as
// a hash. Marks: [S] published, source named; [C] computed; [G] engineering guess.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <filesystem>
#include <string>

#include "aplomb/io/error.h"

namespace aplomb::stance {

struct Constants {
  // Tissue: Young's moduli MPa [S] foot finite-element table PMC9579782 table 1; nu .40 there too.
  double toe_forefoot_E_MPa = 0.70;
  double heel_E_MPa = 0.83;
  double midfoot_E_MPa = 0.67;
  double other_E_MPa = 0.20;
  double poisson_ratio = 0.40;
  double thinnest_tissue_mm = 2;  ///< [G] skin over bone that a thickness in the foot cannot go below

  // Toe joints, N m / rad and N m. Tone holds the toes long and straight.
  double hallux_mtp_passive_Nm = 0.85;                       ///< [S] s13047-016-0173-2 (0.04-3.1)
  double lesser_mtp_passive_Nm = 0.34;                       ///< [G] 0.4 of the hallux
  double ip_passive_Nm = 0.5;                                ///< [G] 0.3-0.8
  double hallux_mtp_tone_Nm = 5, hallux_mtp_cap_Nm = 2;      ///< [G]; all MTP caps together <= 6.3 N m, PMC3406365 [S]
  double lesser_mtp_tone_Nm = 1.5, lesser_mtp_cap_Nm = 0.5;  ///< [G]
  double ip_share_of_mtp_tone = 0.5;                         ///< [G]
  double tone_factor = 1;                                    ///< [G] 0-3: how hard she holds her toes long
  double mtp_splay_Nm = 0.6;                                 ///< [G] hallux; lesser half of it
  double dip_share_of_pip = 0.5;                             ///< [G] DIP bends this much of PIP's bend

  // Rays and midfoot, N m / rad.
  double ray_flexion_Nm[5] = {60, 80, 80, 40, 30};  ///< [G]
  // Forefoot squeeze [G] 8 N/mm to 4 mm, 25 to 8 mm, 80 past it, for a foot whose hand squeeze is the usual one; the
  // first and fifth ray, 55 mm long, each do half of it. A foot that gives twice as much is as stiff at twice the way.
  double ray_splay_Nm = 48, ray_splay_firm_Nm = 151, ray_splay_hard_Nm = 484;  ///< [C]
  double ray_splay_firm_deg = 2.1, ray_splay_hard_deg = 4.2;                   ///< [C] where firm and hard begin
  double midtarsal_Nm = 150, midtarsal_inversion_Nm = 60;                      ///< [G]
  double midfoot_share_of_pointing = 0.30;                                     ///< [S] Russell 2011
  double joint_limit_Nm = 60;  ///< [G] past the end of a range: foot joints
  double toe_limit_Nm = 8;     ///< [G] toe joints

  // Hold at the ankle.
  double ankle_hold_Nm = 200, ankle_cap_Nm = 40;  ///< [G]
  double ankle_hold_unloaded = 0.1;               ///< [G] share of hold and cap before the load comes on
  double ankle_limit_Nm = 500;                    ///< [G] past her range
  double leg_spin_Nm = 5;                         ///< [G] about the tibia's own axis
  double subtalar_command_deg = 8;                ///< [G] how far she can steer the hindfoot on one foot

  // Standing on the sole.
  double plantar_slack = 0.009;   ///< [C] share of their length by which plantar fascia and ligaments are slack
  double plantar_N_per_mm = 290;  ///< [C] all of them together; with the slack: the length grows as Xiong 2009 has it
  double flat_cop_share = 0.40;   ///< [G] centre of pressure from the heel, share of foot length (0.3-0.55)
  double heel_set_back_N = 3;     ///< [G] with which she has set her heel back in its seat
  double sole_N_per_mm3 = 9;      ///< [G] outsole on the floor: 40 MPa on 4.5 mm
  double ball_hinge_Nm = 1.5;     ///< [G] N m / rad: sole and vamp where the shoe bends at the ball (0.5-5)
  double ball_hinge_mm = 20;      ///< [G] length over which they bend there
  double plie_lean_deg = 30;      ///< [S] shin before the vertical in demi-plie, Russell 2011 group
  double hand_N = 10;             ///< [G] with which a foot without weight is held down on its box
  double plie_arch_deg = 1.5;     ///< [G] by which the arch gives more than standing, so that 1-2 mm are added
};

/// Reads meshes/constants.toml (format "aplomb-constants"); every key optional, unknown keys and impossible values
/// refused.
io::Result<Constants> read_constants(const std::filesystem::path& file);

/// The same ranges for values that came another way. The Error's field is the key.
io::Result<void> check(const Constants& constants);

/// Hash of all values, for the result.
std::string constants_hash(const Constants& constants);

/// One number of Constants, for readers, sweeps and sensitivity.
struct ConstantField {
  const char* key;
  double Constants::*member;
  double min, max;
};
const std::array<ConstantField, 43>& constant_fields();

}  // namespace aplomb::stance
