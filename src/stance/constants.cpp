// Reads the constants file and fingerprints its values.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/stance/constants.h"

#include <fmt/format.h>

#include "aplomb/io/files.h"
#include "aplomb/io/toml.h"

namespace aplomb::stance {

namespace {
constexpr io::Range ray_range{1, 2000};
}

const std::array<ConstantField, 43>& constant_fields() {
  using C = Constants;
  static const std::array<ConstantField, 43> fields{{
      {"toe_forefoot_E_MPa", &C::toe_forefoot_E_MPa, 0.02, 10},
      {"heel_E_MPa", &C::heel_E_MPa, 0.02, 10},
      {"midfoot_E_MPa", &C::midfoot_E_MPa, 0.02, 10},
      {"other_E_MPa", &C::other_E_MPa, 0.02, 10},
      {"poisson_ratio", &C::poisson_ratio, 0.0, 0.49},
      {"thinnest_tissue_mm", &C::thinnest_tissue_mm, 0.2, 8},
      {"hallux_mtp_passive_Nm", &C::hallux_mtp_passive_Nm, 0.0, 20},
      {"lesser_mtp_passive_Nm", &C::lesser_mtp_passive_Nm, 0.0, 20},
      {"ip_passive_Nm", &C::ip_passive_Nm, 0.0, 20},
      {"hallux_mtp_tone_Nm", &C::hallux_mtp_tone_Nm, 0.0, 50},
      {"hallux_mtp_cap_Nm", &C::hallux_mtp_cap_Nm, 0.0, 20},
      {"lesser_mtp_tone_Nm", &C::lesser_mtp_tone_Nm, 0.0, 50},
      {"lesser_mtp_cap_Nm", &C::lesser_mtp_cap_Nm, 0.0, 20},
      {"ip_share_of_mtp_tone", &C::ip_share_of_mtp_tone, 0.0, 3},
      {"tone_factor", &C::tone_factor, 0.0, 10},
      {"mtp_splay_Nm", &C::mtp_splay_Nm, 0.01, 50},
      {"dip_share_of_pip", &C::dip_share_of_pip, -1.0, 2},
      {"ray_splay_Nm", &C::ray_splay_Nm, 1.0, 1000},
      {"ray_splay_firm_Nm", &C::ray_splay_firm_Nm, 1.0, 5000},
      {"ray_splay_hard_Nm", &C::ray_splay_hard_Nm, 1.0, 20000},
      {"ray_splay_firm_deg", &C::ray_splay_firm_deg, 0.0, 20},
      {"ray_splay_hard_deg", &C::ray_splay_hard_deg, 0.0, 20},
      {"midtarsal_Nm", &C::midtarsal_Nm, 1.0, 5000},
      {"midtarsal_inversion_Nm", &C::midtarsal_inversion_Nm, 1.0, 5000},
      {"midfoot_share_of_pointing", &C::midfoot_share_of_pointing, 0.0, 0.9},
      {"joint_limit_Nm", &C::joint_limit_Nm, 1.0, 5000},
      {"toe_limit_Nm", &C::toe_limit_Nm, 0.1, 1000},
      {"ankle_hold_Nm", &C::ankle_hold_Nm, 1.0, 5000},
      {"ankle_cap_Nm", &C::ankle_cap_Nm, 0.0, 500},
      {"ankle_hold_unloaded", &C::ankle_hold_unloaded, 0.0, 1},
      {"ankle_limit_Nm", &C::ankle_limit_Nm, 1.0, 10000},
      {"leg_spin_Nm", &C::leg_spin_Nm, 0.01, 1000},
      {"subtalar_command_deg", &C::subtalar_command_deg, 0, 30},
      {"plantar_slack", &C::plantar_slack, 0.0, 0.2},
      {"plantar_N_per_mm", &C::plantar_N_per_mm, 0.0, 10000},
      {"flat_cop_share", &C::flat_cop_share, 0.1, 0.75},
      {"heel_set_back_N", &C::heel_set_back_N, 0.1, 50},
      {"sole_N_per_mm3", &C::sole_N_per_mm3, 0.1, 1000},
      {"plie_lean_deg", &C::plie_lean_deg, 0, 45},
      {"hand_N", &C::hand_N, 1, 100},
      {"ball_hinge_Nm", &C::ball_hinge_Nm, 0.01, 100},
      {"ball_hinge_mm", &C::ball_hinge_mm, 5, 60},
      {"plie_arch_deg", &C::plie_arch_deg, 0, 10},
  }};
  return fields;
}

io::Result<Constants> read_constants(const std::filesystem::path& file) {
  auto reader = io::TomlReader::open(file, {.name = "aplomb-constants", .version = 1}, "constants");
  if (!reader) return tl::unexpected(reader.error());
  Constants constants;
  for (const ConstantField& field : constant_fields())
    constants.*field.member = reader->number_or(field.key, constants.*field.member, {field.min, field.max});
  if (auto rays = reader->optional_numbers("ray_flexion_Nm", ray_range, 5))
    std::copy(rays->begin(), rays->end(), constants.ray_flexion_Nm);
  // Ranges of the guesses: for those who vary them (bands/ranges.h), who check them too.
  reader->leave("plausible");
  if (auto done = reader->finish(); !done) return tl::unexpected(done.error());
  return constants;
}

io::Result<void> check(const Constants& constants) {
  const auto outside = [](const char* key, double value, double min, double max) {
    return io::fail({.field = key,
                     .message = fmt::format("{} is not between {} and {}", value, min, max),
                     .remedy = "give a value in that range, or leave the constant at its default"});
  };
  for (const ConstantField& field : constant_fields()) {
    const double value = constants.*field.member;
    if (!(value >= field.min && value <= field.max)) return outside(field.key, value, field.min, field.max);
  }
  for (double value : constants.ray_flexion_Nm)
    if (!(value >= ray_range.min && value <= ray_range.max))
      return outside("ray_flexion_Nm", value, ray_range.min, ray_range.max);
  return {};
}

std::string constants_hash(const Constants& constants) {
  std::string text;
  for (const ConstantField& field : constant_fields())
    text += fmt::format("{}={};", field.key, constants.*field.member);
  for (double value : constants.ray_flexion_Nm) text += fmt::format("{};", value);
  return io::content_hash(text);
}

}  // namespace aplomb::stance
