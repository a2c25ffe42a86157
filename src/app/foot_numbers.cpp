// The numbers of a foot as JSON.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "foot_numbers.h"

#include <algorithm>
#include <cmath>

#include "aplomb/foot/loading.h"
#include "aplomb/foot/measure.h"
#include "aplomb/foot/numbers.h"

namespace aplomb::app {

namespace {

const char* side_name(const foot::Foot& foot) { return foot.side == foot::Side::left ? "left" : "right"; }

/// Puts `value` under a dotted key, table by table: "toes.hallux.length_mm" as on the card.
void put(io::Json& json, const std::string& key, const io::Json& value) {
  io::Json* table = &json;
  std::size_t begin = 0;
  for (std::size_t dot = key.find('.'); dot != std::string::npos; begin = dot + 1, dot = key.find('.', begin))
    table = &(*table)[key.substr(begin, dot - begin)];
  (*table)[key.substr(begin)] = value;
}

}  // namespace

io::Json foot_numbers_json(const foot::Foot& foot, const std::vector<std::string>& notes) {
  io::Json json;
  json["format"] = "aplomb-foot-numbers";
  json["format_version"] = 1;
  json["side"] = side_name(foot);
  json["plan_box_mm"] = {foot.measurements.at("plan_box_length_mm").value,
                         foot.measurements.at("plan_box_breadth_mm").value};
  io::Json sd = io::Json::object(), source = io::Json::object(), residual = io::Json::object();
  for (const foot::NumberInfo& number : foot::number_table()) {
    const auto found = foot.measurements.find(number.key);
    const bool known = found != foot.measurements.end();
    put(json, number.key, known ? io::number_or_null(found->second.value) : nullptr);
    put(sd, number.key, known ? io::number_or_null(found->second.sd) : nullptr);
    put(source, number.key, known ? io::Json(found->second.source) : nullptr);
    if (const auto rest = foot.residual.find(number.key); rest != foot.residual.end())
      put(residual, number.key, io::number_or_null(rest->second));
  }
  json["sd"] = sd;
  json["source"] = source;
  json["residual"] = residual;
  json["notes"] = notes;
  return json;
}

foot::Load load_of(const foot::Foot& foot) {
  const double ratio = foot.measurements.at("foot_breadth_mm").value / foot.breadth_mm;
  const double standing = foot::load_ratios(foot::Load::standing).foot_breadth;
  foot::Load nearest = foot::Load::standing;
  double least = std::abs(ratio - 1);
  for (const foot::Load load : {foot::Load::none, foot::Load::full}) {
    const double off = std::abs(ratio - foot::load_ratios(load).foot_breadth / standing);
    if (off < least) nearest = load, least = off;
  }
  return nearest;
}

std::vector<foot::Surprise> surprises_of(const foot::Foot& foot, const foot::ShapeModel& model,
                                         const foot::Prior& prior) {
  // The measurements are of the foot as the card's load says; the prior speaks of standing feet.
  foot::Shape shape = foot::Shape::Zero();
  std::copy(foot.shape.begin(), foot.shape.end(), shape.data());
  const auto standing = foot::measure(foot::find_sites(model.mean), foot::body_at(model, shape));
  foot::Numbers numbers;
  numbers[foot::mass] = foot.mass_kg;
  for (int i = 0; i < foot::dimension_count; ++i) {
    const auto found = foot.measurements.find(foot::number_table()[i].key);
    if (i == foot::foot_length || (found != foot.measurements.end() && found->second.source != "prior"))
      numbers[i] = standing[i].value;
  }
  return foot::surprises(prior, numbers);
}

}  // namespace aplomb::app
