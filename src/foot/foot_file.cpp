// Foot files keep parameters, not geometry.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/foot_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/foot/skin_offset.h"
#include "aplomb/foot/template.h"

namespace aplomb::foot {

namespace {

const io::FileFormat& foot_format() {
  static const io::FileFormat format{.name = "aplomb-foot", .version = foot_file_version};
  return format;
}

/// What a foot file says, before the template is asked.
struct Stored {
  std::string side, template_hash;
  std::vector<double> shape, covariance, skin_offset_mm;
  std::map<std::string, Measurement> measurements;
  std::map<std::string, double> residual;
};

Stored stored_in(const io::Json& json) {
  Stored stored;
  stored.side = json.at("side").get<std::string>();
  stored.template_hash = json.at("template_hash").get<std::string>();
  stored.shape = json.at("shape").get<std::vector<double>>();
  for (const auto& row : json.at("covariance"))
    for (const auto& value : row) stored.covariance.push_back(value.get<double>());
  for (const auto& [name, row] : json.at("measurements").items())
    stored.measurements[name] = {row.at("value").get<double>(), row.at("sd").get<double>(),
                                 row.at("source").get<std::string>()};
  if (json.contains("residual"))
    for (const auto& [name, value] : json.at("residual").items()) stored.residual[name] = value.get<double>();
  if (json.contains("skin_offset_mm")) stored.skin_offset_mm = json.at("skin_offset_mm").get<std::vector<double>>();
  return stored;
}

/// First fault of a stored foot, with its field; nothing when sound.
std::optional<io::Error> fault_of(const Stored& stored, const Foot& mean) {
  const char* const anew = "make the foot file anew from its card";
  if (stored.side != "right" && stored.side != "left")
    return io::Error{.field = "side",
                     .message = fmt::format("\"{}\" is neither \"right\" nor \"left\"", stored.side),
                     .remedy = "write one of the two"};
  if (stored.template_hash != mean.template_hash)
    return io::Error{
        .field = "template_hash",
        .message = fmt::format("was made with template {}, this is {}", stored.template_hash, mean.template_hash),
        .remedy = "make the foot file anew from its card with this version, or use the data folder it was made with"};
  if (stored.shape.size() != shape_count)
    return io::Error{.field = "shape",
                     .message = fmt::format("has {} numbers, not {}", stored.shape.size(), int{shape_count}),
                     .remedy = anew};
  if (!stored.covariance.empty() && stored.covariance.size() != shape_count * shape_count)
    return io::Error{
        .field = "covariance", .message = "has not one row and column for each shape number", .remedy = anew};
  const auto wild = [](double value) { return !std::isfinite(value) || std::abs(value) > 1e4; };
  // Beyond these no fit ends: lengths from a third to thrice the template, parts moved by less than half the foot.
  if (std::any_of(stored.shape.begin(), stored.shape.end(),
                  [](double s) { return !std::isfinite(s) || std::abs(s) > 120; }) ||
      std::abs(stored.shape[0]) > 1.1)
    return io::Error{.field = "shape", .message = "has numbers that no foot has", .remedy = anew};
  if (std::any_of(stored.covariance.begin(), stored.covariance.end(), wild))
    return io::Error{.field = "covariance", .message = "has numbers that no fit gives", .remedy = anew};
  if (!stored.skin_offset_mm.empty() && stored.skin_offset_mm.size() != mean.skin.vertices_F.size())
    return io::Error{.field = "skin_offset_mm",
                     .message = fmt::format("has {} numbers, not one for each of {} vertices",
                                            stored.skin_offset_mm.size(), mean.skin.vertices_F.size()),
                     .remedy = "make the foot file anew from its scan"};
  if (std::any_of(stored.skin_offset_mm.begin(), stored.skin_offset_mm.end(),
                  [](double mm) { return !(std::abs(mm) <= most_skin_offset_mm); }))
    return io::Error{.field = "skin_offset_mm",
                     .message = fmt::format("has numbers beyond {:.0f} mm", most_skin_offset_mm),
                     .remedy = "make the foot file anew from its scan"};
  for (const char* name : {"plan_box_length_mm", "plan_box_breadth_mm"})
    if (!stored.measurements.contains(name))
      return io::Error{.field = std::string("measurements.") + name, .message = "is missing", .remedy = anew};
  for (int number = 0; number < dimension_count; ++number)
    if (const std::string& key = number_table()[number].key; !stored.measurements.contains(key))
      return io::Error{.field = "measurements." + key, .message = "is missing", .remedy = anew};
  for (const auto& [name, measurement] : stored.measurements) {
    const auto number = find_number(name);
    if (wild(measurement.sd) || measurement.sd < 0)
      return io::Error{.field = "measurements." + name, .message = "has no proper sd", .remedy = anew};
    // A fitted value may lie a little outside what a card may say, but not wildly.
    if (auto error = io::check_range(
            name, measurement.value,
            number && *number >= dimension_count ? number_table()[*number].range : io::Range{-1e3, 1e3})) {
      error->field = "measurements." + name;
      return error;
    }
  }
  return std::nullopt;
}

std::string ending(const std::filesystem::path& file) {
  std::string text = file.extension().string();
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
  return text;
}

}  // namespace

io::Json foot_json(const Foot& foot) {
  io::Json json;
  json["format"] = foot_format().name;
  json["format_version"] = foot_file_version;
  json["side"] = foot.side == Side::left ? "left" : "right";
  json["template_hash"] = foot.template_hash;
  json["shape"] = foot.shape;
  json["covariance"] = io::Json::array();
  for (std::size_t i = 0; i + shape_count <= foot.covariance.size(); i += shape_count)
    json["covariance"].push_back(
        std::vector<double>(foot.covariance.begin() + static_cast<std::ptrdiff_t>(i),
                            foot.covariance.begin() + static_cast<std::ptrdiff_t>(i + shape_count)));
  json["measurements"] = io::Json::object();
  for (const auto& [name, m] : foot.measurements)
    json["measurements"][name] = {{"value", m.value}, {"sd", m.sd}, {"source", m.source}};
  json["residual"] = io::Json::object();
  for (const auto& [name, value] : foot.residual) json["residual"][name] = value;
  if (!foot.skin_offset_mm.empty()) json["skin_offset_mm"] = foot.skin_offset_mm;
  return json;
}

io::Result<Foot> read_foot_file(const std::filesystem::path& file, const Foot& mean) {
  const auto json = io::read_json(file, foot_format(), "--foot");
  if (!json) return tl::unexpected(json.error());
  const auto stored = io::guard_json(file.string(), [&] { return stored_in(*json); });
  if (!stored) return tl::unexpected(stored.error());
  if (auto error = fault_of(*stored, mean)) {
    error->file = file.string();
    return io::fail(*error);
  }
  Foot numbers;
  numbers.shape = stored->shape;
  numbers.measurements = stored->measurements;
  numbers.skin_offset_mm = stored->skin_offset_mm;
  Foot foot = build_foot(make_shape_model(mean), build_of(numbers));
  foot.side = stored->side == "left" ? Side::left : Side::right;
  foot.covariance = stored->covariance;
  foot.measurements = stored->measurements;
  foot.residual = stored->residual;
  const auto value = [&](int number) -> std::optional<double> {
    const auto found = stored->measurements.find(number_table()[number].key);
    return found == stored->measurements.end() ? std::nullopt : std::optional<double>(found->second.value);
  };
  foot.mass_kg = value(mass);
  foot.age_years = value(age);
  return foot;
}

io::Result<void> write_foot_file(const Foot& foot, const std::filesystem::path& file) {
  return io::write_json(file.string(), foot_json(foot));
}

std::optional<double> mass_in(std::string_view text) {
  const io::Json json = io::Json::parse(text, nullptr, false);
  if (json.is_discarded()) {
    const auto card = parse_card(text, {});
    return card ? card->numbers[mass] : std::nullopt;
  }
  const io::Json::json_pointer at("/measurements/" + number_table()[mass].key + "/value");
  if (!json.contains(at) || !json.at(at).is_number()) return std::nullopt;
  return json.at(at).get<double>();
}

io::Result<Foot> load_foot(const std::filesystem::path& file, const std::filesystem::path& data_folder,
                           const FitOptions& options) {
  const std::string kind = ending(file);
  if (kind != ".toml" && kind != ".json")
    return io::fail({.file = file.string(),
                     .field = "--foot",
                     .message = fmt::format("\"{}\" is not the ending of a card or a foot file", kind),
                     .remedy = "give a card (.toml) or a foot file (.foot.json)"});
  // The card is read before the template: its faults are the likelier ones and cost nothing to find.
  std::optional<Card> card;
  if (kind == ".toml") {
    auto read = read_card(file);
    if (!read) return tl::unexpected(read.error());
    card = std::move(*read);
  }
  const auto mean = load_template(data_folder / "foot");
  if (!mean) return tl::unexpected(mean.error());
  if (!card) {
    auto foot = read_foot_file(file, *mean);
    if (foot && options.mass_kg) foot->mass_kg = options.mass_kg;
    return foot;
  }
  const auto prior = read_prior(data_folder / "foot" / "prior.json");
  if (!prior) return tl::unexpected(prior.error());
  return fit_card(*card, *mean, *prior, options);
}

}  // namespace aplomb::foot
