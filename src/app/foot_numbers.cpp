// The numbers of a foot as JSON and as a table.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "foot_numbers.h"

#include <fmt/format.h>

#include "aplomb/foot/numbers.h"

namespace aplomb::app {

namespace {

const char* side_name(const foot::Foot& foot) { return foot.side == foot::Side::left ? "left" : "right"; }

/// Puts `value` under a dotted key, table by table: "toes.hallux.length_mm" as on the card.
void put(io::Json& json, const std::string& key, std::optional<double> value) {
  io::Json* table = &json;
  std::size_t begin = 0;
  for (std::size_t dot = key.find('.'); dot != std::string::npos; begin = dot + 1, dot = key.find('.', begin))
    table = &(*table)[key.substr(begin, dot - begin)];
  (*table)[key.substr(begin)] = io::number_or_null(value);
}

}  // namespace

io::Json foot_numbers_json(const foot::Foot& foot) {
  io::Json json;
  json["format"] = "aplomb-foot-numbers";
  json["format_version"] = 1;
  json["side"] = side_name(foot);
  json["plan_box_mm"] = {foot.measurements.at("plan_box_length_mm").value,
                         foot.measurements.at("plan_box_breadth_mm").value};
  io::Json sd = io::Json::object(), residual = io::Json::object();
  for (const foot::NumberInfo& number : foot::number_table()) {
    const auto found = foot.measurements.find(number.key);
    const bool known = found != foot.measurements.end();
    put(json, number.key, known ? std::optional(found->second.value) : std::nullopt);
    put(sd, number.key, known ? std::optional(found->second.sd) : std::nullopt);
    if (const auto rest = foot.residual.find(number.key); rest != foot.residual.end())
      put(residual, number.key, rest->second);
  }
  json["sd"] = sd;
  json["residual"] = residual;
  return json;
}

std::string foot_numbers_table(const foot::Foot& foot) {
  std::string text = fmt::format("{} foot; plan box {:.1f} x {:.1f} mm\n\n{:<34}{:>9}{:>8}  {}\n", side_name(foot),
                                 foot.measurements.at("plan_box_length_mm").value,
                                 foot.measurements.at("plan_box_breadth_mm").value, "number", "value", "sd", "from");
  for (const foot::NumberInfo& number : foot::number_table()) {
    const auto found = foot.measurements.find(number.key);
    if (found == foot.measurements.end()) continue;
    text += fmt::format("{:<34}{:>9.1f}{:>8.1f}  {}\n", number.key, found->second.value, found->second.sd,
                        found->second.source);
  }
  return text;
}

}  // namespace aplomb::app
