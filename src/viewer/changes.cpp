// Changed numbers are checked here, because a session file may hold anything.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "changes.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace aplomb::viewer {

using shoe::StiffnessPoint;

namespace {

constexpr std::string_view table_prefix = "shank_stiffness.";
constexpr const char* spacer_names[] = {"hallux_second", "second_third", "third_fourth", "fourth_little"};
constexpr const char* toe_names[] = {"hallux", "second", "third", "fourth", "little"};
constexpr io::Range from_heel_range{0, 340}, table_EI_range{0.001, 2};

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

io::Result<void> apply_table(const Changes& numbers, shoe::ShoeParameters& parameters) {
  const auto points = numbers.find("shank_stiffness.points");
  if (points == numbers.end()) return {};
  double count = 0;
  if (auto done = put(count, points->first, points->second, {0, most_shank_points}); !done) return done;
  std::vector<StiffnessPoint> table(static_cast<std::size_t>(count));
  for (std::size_t i = 0; i < table.size(); ++i) {
    const std::string at = fmt::format("{}{}.from_heel_mm", table_prefix, i + 1),
                      EI = fmt::format("{}{}.EI_Nm2", table_prefix, i + 1);
    if (!numbers.contains(at)) return no_such(at);
    if (!numbers.contains(EI)) return no_such(EI);
    if (auto done = put(table[i].from_heel_mm, at, numbers.at(at), from_heel_range); !done) return done;
    if (auto done = put(table[i].EI_Nm2, EI, numbers.at(EI), table_EI_range); !done) return done;
  }
  parameters.shank_EI_table = std::move(table);
  return {};
}

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

double* constant_of(stance::Constants& constants, std::string_view key) {
  for (const stance::ConstantField& field : stance::constant_fields())
    if (key == field.key) return &(constants.*field.member);
  constexpr std::string_view rays = "ray_flexion_Nm.";
  if (key.size() == rays.size() + 1 && key.starts_with(rays) && key.back() >= '1' && key.back() <= '5')
    return &constants.ray_flexion_Nm[key.back() - '1'];
  return nullptr;
}

io::Range constant_range(std::string_view key) {
  for (const stance::ConstantField& field : stance::constant_fields())
    if (key == field.key) return {field.min, field.max};
  return {1, 2000};  // a ray; stance::check() has the last word
}

io::Result<void> apply(const Changes& numbers, stance::Constants& constants) {
  for (const auto& [key, value] : numbers) {
    double* number = constant_of(constants, key);
    if (number == nullptr) return no_such(key);
    if (auto done = put(*number, key, value, constant_range(key)); !done) return done;
  }
  return stance::check(constants);
}

Changes table_changes(const std::vector<StiffnessPoint>& table) {
  Changes changes{{"shank_stiffness.points", static_cast<double>(table.size())}};
  for (std::size_t i = 0; i < table.size(); ++i) {
    changes[fmt::format("{}{}.from_heel_mm", table_prefix, i + 1)] = table[i].from_heel_mm;
    changes[fmt::format("{}{}.EI_Nm2", table_prefix, i + 1)] = table[i].EI_Nm2;
  }
  return changes;
}

void erase_table(Changes& changes) {
  std::erase_if(changes, [](const auto& change) { return change.first.starts_with(table_prefix); });
}

double shank_EI_at(const shoe::ShoeParameters& parameters, double from_heel_mm) {
  const auto& table = parameters.shank_EI_table;
  if (table.empty()) return parameters.shank_EI_Nm2;
  const auto after =
      std::find_if(table.begin(), table.end(), [&](const auto& p) { return p.from_heel_mm > from_heel_mm; });
  if (after == table.begin()) return table.front().EI_Nm2;
  if (after == table.end()) return table.back().EI_Nm2;
  const StiffnessPoint &a = *(after - 1), &b = *after;
  const double share = (from_heel_mm - a.from_heel_mm) / (b.from_heel_mm - a.from_heel_mm);
  return a.EI_Nm2 + share * (b.EI_Nm2 - a.EI_Nm2);
}

std::vector<StiffnessPoint> started_table(const shoe::ShoeParameters& parameters) {
  const double length = std::floor(parameters.inner_length_mm - parameters.sole_edge_mm);
  std::vector<StiffnessPoint> table;
  for (int i = 0; i < 4; ++i) {
    const double at = std::round(length * i / 3);
    table.push_back({at, shank_EI_at(parameters, at)});
  }
  return table;
}

void add_point(std::vector<StiffnessPoint>& table) {
  std::size_t widest = 0;
  double gap = 0;
  for (std::size_t i = 0; i + 1 < table.size(); ++i)
    if (const double here = table[i + 1].from_heel_mm - table[i].from_heel_mm; here > gap) gap = here, widest = i;
  if (gap < 4) return;
  const StiffnessPoint &a = table[widest], &b = table[widest + 1];
  const StiffnessPoint middle{0.5 * (a.from_heel_mm + b.from_heel_mm), 0.5 * (a.EI_Nm2 + b.EI_Nm2)};
  table.insert(table.begin() + static_cast<std::ptrdiff_t>(widest) + 1, middle);
}

void skive_heel_end(std::vector<StiffnessPoint>& table, double length_mm) {
  constexpr double thinned = 0.8;  // [G] what a blade takes off in one go
  for (StiffnessPoint& point : table)
    if (point.from_heel_mm <= length_mm / 3 + 1)
      point.EI_Nm2 = std::max(table_EI_range.min, point.EI_Nm2 * thinned * thinned * thinned);
}

}  // namespace aplomb::viewer
