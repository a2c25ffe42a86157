// Reading what lies between foot and shoe.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shoe/read_layers.h"

#include <fmt/format.h>

namespace aplomb::shoe {

const char* const pad_region_names[pad_region_count] = {"toes", "toe_tips", "ball", "metatarsal_heads", "heel"};

namespace {

constexpr std::array<const char*, 4> spacer_names{"hallux_second", "second_third", "third_fourth", "fourth_little"};
constexpr std::array<const char*, 5> toe_names{"hallux", "second", "third", "fourth", "little"};

void read_layer(io::TomlReader& parent, const char* key, SoftLayer& layer, double modulus_MPa) {
  auto table = parent.table(key);
  if (!table) return;
  layer.thickness_mm = table->number("thickness_mm", {0.05, 20});
  layer.modulus_MPa = table->optional_number("modulus_MPa", {0.01, 50}).value_or(modulus_MPa);
}

}  // namespace

void read_layers(io::TomlReader& reader, Layers& layers) {
  read_layer(reader, "tights", layers.tights, Layers::tights_modulus_MPa);
  if (auto padding = reader.table("padding"))
    for (int k = 0; k < pad_region_count; ++k)
      read_layer(*padding, pad_region_names[k], layers.padding[static_cast<std::size_t>(k)],
                 Layers::padding_modulus_MPa);
  if (auto spacer = reader.table("spacer"))
    for (std::size_t k = 0; k < spacer_names.size(); ++k)
      read_layer(*spacer, spacer_names[k], layers.spacer[k], Layers::spacer_modulus_MPa);
  if (auto tape = reader.table("tape"))
    for (std::size_t k = 0; k < toe_names.size(); ++k)
      read_layer(*tape, toe_names[k], layers.tape[k], Layers::tape_modulus_MPa);
}

io::Result<void> check_layers(const ShoeParameters& p) {
  // A toe cannot be pressed flatter than this, so less room than that is none [G].
  constexpr double flattest_toe_mm = 8, flattest_ball_mm = 15;
  const auto pad = [&](PadRegion region) { return p.layers.padding[static_cast<std::size_t>(region)].thickness_mm; };
  const double round_toes = 2 * (p.layers.tights.thickness_mm + pad(PadRegion::toes));
  if (round_toes > p.platform_height_mm - flattest_toe_mm)
    return io::fail(
        {.field = "padding.toes",
         .message = fmt::format("tights and padding take {:g} mm of a platform {:g} mm high: no room for a toe",
                                round_toes, p.platform_height_mm),
         .remedy =
             fmt::format("let both sides together take at most {:g} mm", p.platform_height_mm - flattest_toe_mm)});
  const double round_ball =
      2 * (p.layers.tights.thickness_mm + pad(PadRegion::ball)) + pad(PadRegion::metatarsal_heads);
  if (round_ball > p.crown_height_mm - flattest_ball_mm)
    return io::fail(
        {.field = "padding.ball",
         .message = fmt::format("tights and padding take {:g} mm of a crown {:g} mm high: no room for the ball",
                                round_ball, p.crown_height_mm),
         .remedy = fmt::format("let them take at most {:g} mm", p.crown_height_mm - flattest_ball_mm)});
  if (pad(PadRegion::toe_tips) > 0.5 * p.ball_height_mm)
    return io::fail(
        {.field = "padding.toe_tips",
         .message = fmt::format("{:g} mm under the toe tips lift the ball out of a box whose ball line is {:g} mm up",
                                pad(PadRegion::toe_tips), p.ball_height_mm),
         .remedy = fmt::format("give at most {:g} mm", 0.5 * p.ball_height_mm)});
  return {};
}

}  // namespace aplomb::shoe
