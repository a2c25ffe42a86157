// Changed numbers are checked here, because a session file may hold anything.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "changes.h"

#include <fmt/format.h>

#include <algorithm>

#include "changes_parts.h"

namespace aplomb::viewer {

using shoe::StiffnessPoint;

namespace {

constexpr const char* spacer_names[] = {"hallux_second", "second_third", "third_fourth", "fourth_little"};
constexpr const char* toe_names[] = {"hallux", "second", "third", "fourth", "little"};

io::Result<void> apply_layer(const std::string& key, double value, shoe::Layers& layers) {
  const std::size_t dot = key.rfind('.');
  if (dot == std::string::npos) return no_such(key);
  const std::string layer_key = key.substr(0, dot), part = key.substr(dot + 1);
  shoe::SoftLayer* layer = layer_of(layers, layer_key);
  if (layer == nullptr) return no_such(key);
  if (part == "modulus_MPa") return put(layer->modulus_MPa, key, value, modulus_range);
  if (part != "thickness_mm") return no_such(key);
  if (layer->modulus_MPa <= 0) layer->modulus_MPa = usual_modulus_MPa(layer_key);
  return put(layer->thickness_mm, key, value, thickness_range);
}

io::Result<void> apply_word(const std::string& key, const std::string& word, shoe::ShoeParameters& parameters) {
  if (key == "cut" && (word == "straight" || word == "right" || word == "left"))
    parameters.cut = word == "straight" ? shoe::Cut::straight : word == "right" ? shoe::Cut::right : shoe::Cut::left;
  else if (key == "throat" && (word == "round" || word == "v"))
    parameters.throat = word == "v" ? shoe::Throat::v : shoe::Throat::round;
  else
    return io::fail({.field = key,
                     .message = fmt::format("\"{}\" is no choice here", word),
                     .remedy = "cut is \"straight\", \"right\" or \"left\"; throat is \"round\" or \"v\""});
  return {};
}

}  // namespace

tl::unexpected<io::Error> no_such(const std::string& key) {
  return io::fail({.field = key,
                   .message = "no number of this name can be changed",
                   .remedy = "put it back, or take it out of the session file"});
}

io::Result<void> put(double& number, const std::string& key, double value, io::Range range) {
  if (auto error = io::check_range(key, value, range)) return tl::unexpected(*error);
  number = value;
  return {};
}

shoe::SoftLayer* layer_of(shoe::Layers& layers, std::string_view key) {
  if (key == "tights") return &layers.tights;
  const std::size_t dot = key.find('.');
  if (dot == std::string_view::npos) return nullptr;
  const std::string_view kind = key.substr(0, dot), place = key.substr(dot + 1);
  const auto among = [&](const auto& names, auto& list) -> shoe::SoftLayer* {
    for (std::size_t i = 0; i < list.size(); ++i)
      if (place == names[i]) return &list[i];
    return nullptr;
  };
  if (kind == "padding") return among(shoe::pad_region_names, layers.padding);
  if (kind == "spacer") return among(spacer_names, layers.spacer);
  if (kind == "tape") return among(toe_names, layers.tape);
  return nullptr;
}

double usual_modulus_MPa(std::string_view layer) {
  using shoe::Layers;
  return layer == "tights"              ? Layers::tights_modulus_MPa
         : layer.starts_with("padding") ? Layers::padding_modulus_MPa
         : layer.starts_with("spacer")  ? Layers::spacer_modulus_MPa
                                        : Layers::tape_modulus_MPa;
}

io::Result<void> apply(const Changes& numbers, const WordChanges& words, shoe::ShoeParameters& parameters) {
  if (auto done = apply_table(numbers, parameters); !done) return done;
  for (const auto& [key, value] : numbers) {
    if (key.starts_with(table_prefix)) continue;
    const auto& fields = shoe::number_fields();
    const std::string& name = key;  // a lambda of C++20 as clang 14 has it cannot take a binding along
    const auto field = std::find_if(fields.begin(), fields.end(), [&](const auto& f) { return name == f.key; });
    const auto done = field != fields.end() ? put(parameters.*(field->member), key, value, field->range)
                                            : apply_layer(key, value, parameters.layers);
    if (!done) return done;
  }
  for (const auto& [key, word] : words)
    if (auto done = apply_word(key, word, parameters); !done) return done;
  return {};
}

std::pair<Changes, WordChanges> changes_between(const shoe::ShoeParameters& from, const shoe::ShoeParameters& to) {
  Changes numbers;
  WordChanges words;
  for (const shoe::NumberField& field : shoe::number_fields())
    if (from.*field.member != to.*field.member) numbers[field.key] = to.*field.member;
  shoe::Layers before = from.layers, after = to.layers;
  const auto compare = [&](const std::string& key) {
    const shoe::SoftLayer &a = *layer_of(before, key), &b = *layer_of(after, key);
    if (a.modulus_MPa != b.modulus_MPa) numbers[key + ".modulus_MPa"] = b.modulus_MPa;
    if (a.thickness_mm != b.thickness_mm) numbers[key + ".thickness_mm"] = b.thickness_mm;
  };
  compare("tights");
  for (const char* place : shoe::pad_region_names) compare(std::string("padding.") + place);
  for (const char* place : spacer_names) compare(std::string("spacer.") + place);
  for (const char* place : toe_names) compare(std::string("tape.") + place);
  const auto same = [](const StiffnessPoint& a, const StiffnessPoint& b) {
    return a.from_heel_mm == b.from_heel_mm && a.EI_Nm2 == b.EI_Nm2;
  };
  if (!std::equal(from.shank_EI_table.begin(), from.shank_EI_table.end(), to.shank_EI_table.begin(),
                  to.shank_EI_table.end(), same))
    numbers.merge(table_changes(to.shank_EI_table));
  if (from.cut != to.cut)
    words["cut"] = to.cut == shoe::Cut::straight ? "straight" : to.cut == shoe::Cut::right ? "right" : "left";
  if (from.throat != to.throat) words["throat"] = to.throat == shoe::Throat::v ? "v" : "round";
  return {std::move(numbers), std::move(words)};
}

}  // namespace aplomb::viewer
