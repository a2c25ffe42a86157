// Every range here is a guess unless a source is named: what someone who knows tissue, shoes and dancers would not be
// surprised by, from one dancer or shoe to the next.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/bands/ranges.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/io/toml.h"

namespace aplomb::bands {

namespace {

using Of = GuessRange::Of;

constexpr double largest_factor = 100;

const stance::ConstantField* field_of(const std::string& key) {
  for (const auto& field : stance::constant_fields())
    if (key == field.key) return &field;
  return nullptr;
}

/// What numbers a range may hold at all.
io::Range possible(const GuessRange& range) {
  if (range.of != Of::constant) return {1 / largest_factor, largest_factor};
  const stance::ConstantField* field = field_of(range.key);
  return {field->min, field->max};
}

io::Result<void> refuse(const std::string& field, std::string message, std::string remedy) {
  return io::fail({.field = field, .message = std::move(message), .remedy = std::move(remedy)});
}

}  // namespace

const std::vector<GuessRange>& usual_ranges() {
  static const std::vector<GuessRange> ranges = {
      // Moduli are published, how far people differ is a guess.
      {"toe_forefoot_E_MPa", "stiffness of toe and ball tissue", Of::constant, 0.45, 1.1},
      {"heel_E_MPa", "stiffness of the heel pad", Of::constant, 0.5, 1.4},
      {"midfoot_E_MPa", "stiffness of the tissue under the arch", Of::constant, 0.4, 1.1},
      {"other_E_MPa", "stiffness of the tissue on top of the foot", Of::constant, 0.1, 0.4},
      {"thinnest_tissue_mm", "thinnest skin over bone", Of::constant, 1, 3},
      // Published from person to person: 0.04-3.1, s13047-016-0173-2; its ends are rare.
      {"hallux_mtp_passive_Nm", "stiffness of the big toe's joint", Of::constant, 0.3, 2.4},
      {"lesser_mtp_passive_Nm", "stiffness of the other toe joints", Of::constant, 0.25, 0.45},
      {"ip_passive_Nm", "stiffness of the toes' knuckles", Of::constant, 0.3, 0.8},
      {"mtp_splay_Nm", "sideways stiffness of the toe joints", Of::constant, 0.3, 1.2},
      {"dip_share_of_pip", "share of bend at the last toe joint", Of::constant, 0.3, 0.8},
      {"hallux_mtp_tone_Nm", "how stiffly she holds her big toe long", Of::constant, 2.5, 10},
      {"hallux_mtp_cap_Nm", "strength of her big toe", Of::constant, 1, 3},
      {"lesser_mtp_tone_Nm", "how stiffly she holds her other toes long", Of::constant, 0.75, 3},
      {"lesser_mtp_cap_Nm", "strength of her other toes", Of::constant, 0.25, 0.8},
      {"ip_share_of_mtp_tone", "share of the hold at the toes' knuckles", Of::constant, 0.25, 1},
      {"tone_factor", "how hard she holds her toes long", Of::constant, 0.5, 2},
      {"ray_flexion_factor", "stiffness of the rays up and down", Of::constant_factor, 0.5, 2},
      {"ray_splay_factor", "stiffness of the forefoot against squeezing", Of::constant_factor, 0.6, 1.6},
      {"midtarsal_Nm", "stiffness of the midfoot", Of::constant, 75, 300},
      {"midtarsal_inversion_Nm", "twisting stiffness of the midfoot", Of::constant, 30, 120},
      {"midfoot_share_of_pointing", "share of pointing in the midfoot", Of::constant, 0.22, 0.38},
      {"joint_limit_Nm", "stiffness past the end of the foot's joints", Of::constant, 30, 120},
      {"toe_limit_Nm", "stiffness past the end of the toe joints", Of::constant, 4, 16},
      {"ankle_hold_Nm", "how stiffly she holds her ankle", Of::constant, 100, 400},
      {"ankle_cap_Nm", "strength of her ankle", Of::constant, 25, 60},
      {"ankle_hold_unloaded", "hold at the ankle before the load", Of::constant, 0.05, 0.3},
      {"ankle_limit_Nm", "stiffness past the end of the ankle's range", Of::constant, 250, 1000},
      {"leg_spin_Nm", "hold of the leg about its own axis", Of::constant, 2, 10},
      {"subtalar_command_deg", "how far she can steer her hindfoot", Of::constant, 4, 12, Where::one_foot},
      {"plantar_slack", "slack of the ligaments under the arch", Of::constant, 0.007, 0.011, Where::on_sole},
      {"plantar_N_per_mm", "stiffness of the ligaments under the arch", Of::constant, 200, 420, Where::on_sole},
      {"flat_cop_share", "where between heel and toes she stands", Of::constant, 0.3, 0.55, Where::on_sole},
      {"heel_set_back_N", "how firmly her heel was set back", Of::constant, 1.5, 6, Where::on_sole},
      {"sole_N_per_mm3", "stiffness of the outsole", Of::constant, 4, 20, Where::on_sole},
      {"ball_hinge_Nm", "stiffness of the shoe at the ball", Of::constant, 0.5, 5, Where::ball},
      {"ball_hinge_mm", "length over which the shoe bends at the ball", Of::constant, 12, 30, Where::ball},
      {"plie_arch_deg", "how far the arch gives in demi-plie", Of::constant, 0.75, 2.5, Where::plie},
      {"hand_N", "hand that holds the foot down on its box", Of::constant, 5, 20, Where::unweighted},
      // Of the shoe: times what its file says.
      {"wall_E_GPa", "stiffness of the box wall", Of::shoe_factor, 0.5, 2},
      {"shank_EI_Nm2", "stiffness of the shank", Of::shoe_factor, 0.7, 1.4},
      {"lining_friction", "friction of skin on the lining", Of::shoe_factor, 0.6, 1.7},
      {"drawstring_N", "tension of the drawstring", Of::shoe_factor, 0.5, 2},
      {"elastic_N", "tension of ribbon and elastic", Of::shoe_factor, 0.5, 2},
      {"upper_stiffness_N_per_mm", "stiffness of the upper at the heel", Of::shoe_factor, 0.5, 2},
      {"vamp_slack_mm", "slack of the vamp", Of::shoe_factor, 0.5, 2},
      {"vamp_tight_N_per_mm", "stiffness of the vamp", Of::shoe_factor, 0.5, 2},
  };
  return ranges;
}

bool applies(Where where, stance::Position position) {
  using stance::Position;
  const bool down = position == Position::roll_down, rise = position == Position::demi_pointe;
  const bool plie = position == Position::demi_plie;
  switch (where) {
    case Where::everywhere:
      return true;
    case Where::on_sole:
      return down || rise || plie || position == Position::parallel;
    case Where::ball:
      return down || rise;
    case Where::plie:
      return plie;
    case Where::one_foot:
      return position == Position::full_pointe_one;
    case Where::unweighted:
      return position == Position::on_box;
  }
  return true;
}

io::Result<void> check(const std::vector<GuessRange>& ranges, const stance::Constants& constants) {
  for (const GuessRange& range : ranges) {
    const std::string field = "plausible." + range.key;
    if (range.of == Of::constant && field_of(range.key) == nullptr)
      return refuse(field, "is no constant", "name one of meshes/constants.toml");
    const io::Range limits = possible(range);
    if (!std::isfinite(range.low) || !std::isfinite(range.high))
      return refuse(field, "is not two numbers", "give the lowest and the highest plausible value");
    if (range.low > range.high)
      return refuse(field, fmt::format("{} is above {}: the range is reversed", range.low, range.high),
                    "write the lower value first");
    if (range.low < limits.min || range.high > limits.max)
      return refuse(field, fmt::format("{} to {} reaches past {} to {}", range.low, range.high, limits.min, limits.max),
                    "give a range within these");
    // A factor is of whatever value there is; a range must hold it.
    const double value = range.of == Of::constant ? constants.*field_of(range.key)->member : 1;
    if (!(value >= range.low && value <= range.high))
      return refuse(field, fmt::format("{} lies outside its range of {} to {}", value, range.low, range.high),
                    "give a range that holds the value under [plausible] in the constants' file");
  }
  return {};
}

io::Result<std::vector<GuessRange>> read_ranges(const std::filesystem::path& file) {
  const auto constants = stance::read_constants(file);
  if (!constants) return tl::unexpected(constants.error());
  auto reader = io::TomlReader::open(file, {.name = "aplomb-constants", .version = 1}, "constants");
  if (!reader) return tl::unexpected(reader.error());
  std::vector<GuessRange> ranges = usual_ranges();
  // Only the table is read here: the rest of the file is asked for by read_constants(), and the table by its rows.
  if (auto table = reader->table("plausible"))
    for (GuessRange& range : ranges)
      if (const auto pair = table->optional_numbers(range.key, {}, 2)) {
        range.low = (*pair)[0];
        range.high = (*pair)[1];
        if (const auto good = check({range}, *constants); !good)
          table->refuse(range.key, good.error().message, good.error().remedy);
      }
  for (const auto& field : stance::constant_fields()) reader->leave(field.key);
  reader->leave("ray_flexion_Nm");
  if (const auto done = reader->finish(); !done) return tl::unexpected(done.error());
  // A value of her own, without a range of her own.
  if (auto good = check(ranges, *constants); !good) {
    io::Error error = good.error();
    error.file = file.string();
    error.line = reader->line(error.field.substr(error.field.find('.') + 1));
    return tl::unexpected(error);
  }
  return ranges;
}

void set(stance::Constants& constants, const GuessRange& range, double value) {
  if (range.of == Of::constant) {
    constants.*field_of(range.key)->member = value;
  } else if (range.key == "ray_flexion_factor") {
    for (double& stiffness : constants.ray_flexion_Nm) stiffness *= value;
  } else {
    constants.ray_splay_Nm *= value;
    constants.ray_splay_firm_Nm *= value;
    constants.ray_splay_hard_Nm *= value;
  }
}

void set(shoe::ShoeParameters& shoe, const GuessRange& range, double factor) {
  for (const shoe::NumberField& field : shoe::number_fields())
    if (range.key == field.key) shoe.*field.member *= factor;
  if (range.key == "shank_EI_Nm2")
    for (shoe::StiffnessPoint& point : shoe.shank_EI_table) point.EI_Nm2 *= factor;
}

}  // namespace aplomb::bands
