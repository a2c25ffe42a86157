// Findings to JSON, key by key in the order of the schema.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/json.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace aplomb::report {

namespace {

using findings::Findings;
using io::Json;

/// Keeps NaN and infinity as they are, so that check_finite() can name them.
Json number(const findings::Number& value) { return value ? Json(*value) : Json(nullptr); }

Json numbers(const std::array<findings::Number, 5>& values) {
  Json list = Json::array();
  for (const auto& value : values) list.push_back(number(value));
  return list;
}

Json inputs(const Findings& f) {
  return {
      {"foot", f.foot_name},
      {"shoe", f.shoe_name},
      {"hashes",
       {{"foot", f.foot_hash}, {"shoe", f.shoe_hash}, {"template", f.template_hash}, {"constants", f.constants_hash}}},
      {"mass_kg", number(f.mass_kg)},
      {"load_N", f.load_N},
      {"friction", f.friction}};
}

Json load_share(const std::optional<findings::LoadShare>& share) {
  if (!share) return nullptr;
  return {{"platform", share->platform},
          {"wall_normal", share->wall_normal},
          {"wall_friction", share->wall_friction},
          {"vamp", share->vamp},
          {"shank_heel", share->shank_heel}};
}

Json load_kind(const std::optional<findings::LoadKind>& kind) {
  if (!kind) return nullptr;
  return {{"forefoot_normal", kind->forefoot_normal},
          {"all_friction", kind->all_friction},
          {"heel_and_shank", kind->heel_and_shank}};
}

Json toes(const Findings& f) {
  Json list = Json::array();
  for (const findings::ToeFindings& toe : f.toes) {
    list.push_back({{"name", toe.name},
                    {"squeeze_mm", number(toe.squeeze_mm)},
                    {"load_share", number(toe.load_share)},
                    {"peak_kPa", number(toe.peak_kPa)},
                    {"overlap_mm", number(toe.overlap_mm)},
                    {"bend_deg", number(toe.bend_deg)},
                    {"room_mm", number(toe.room_mm)},
                    {"gap_mm", number(toe.gap_mm)},
                    {"tip_clearance_seated_mm", number(toe.tip_clearance_seated_mm)},
                    {"sink_mm", number(toe.sink_mm)},
                    {"slide_mm", number(toe.slide_mm)},
                    {"tissue_mm", number(toe.tissue_mm)},
                    {"curl_mm", number(toe.curl_mm)}});
  }
  return list;
}

Json regions(const Findings& f) {
  Json list = Json::array();
  for (const findings::RegionPressure& region : f.regions) {
    list.push_back({{"region", region.region},
                    {"peak_kPa", region.peak_kPa},
                    {"mean_kPa", region.mean_kPa},
                    {"area_mm2", region.area_mm2}});
  }
  return list;
}

Json friction_band(const Findings& f) {
  if (!f.friction_band) return nullptr;
  Json bands = Json::object();
  for (const Findings::Band& band : *f.friction_band) {
    const auto [low, high] = std::minmax(band.path, band.settled);
    bands[band.key] = {low, high};
  }
  return bands;
}

Json bands(const Findings& f) {
  Json all = Json::object();
  if (!f.doubts) return all;
  for (const findings::Doubt& band : f.doubts->bands) {
    Json sources = Json::array();
    for (const findings::DoubtSource& source : band.sources)
      sources.push_back(
          {{"input", source.key}, {"guess", source.guess}, {"first", source.first}, {"total", source.total}});
    all[band.key] = {{"low", band.low},
                     {"median", band.median},
                     {"high", band.high},
                     {"method", band.by_expansion ? "expansion" : "quantiles"},
                     {"q2", band.q2},
                     {"low_error", band.low_error},
                     {"high_error", band.high_error},
                     {"runs", band.runs},
                     {"absent", band.absent},
                     {"quick_minus_full", number(band.quick_minus_full)},
                     {"sources", sources},
                     {"words", band.words}};
  }
  return all;
}

Json bands_evidence(const findings::Doubts& d) {
  return {{"seed", d.seed},
          {"runs", d.runs},
          {"not_converged", d.not_converged},
          {"refused", d.refused},
          {"judged", d.judged},
          {"gets_over", d.gets_over},
          {"inputs", d.inputs},
          {"foot_components", d.foot_components},
          {"foot_share", d.foot_share},
          {"notes", d.notes}};
}

Json gradients(const std::vector<findings::Gradient>& all) {
  Json list = Json::array();
  for (const findings::Gradient& one : all) {
    Json slopes = Json::object();
    for (const findings::Gradient::Slope& slope : one.slopes) slopes[slope.finding] = slope.value;
    const auto of = static_cast<std::size_t>(one.of);
    list.push_back({{"of", std::array{"shoe", "foot", "stand"}[of]},
                    {"number", one.key},
                    {"value", one.value},
                    {"slopes", slopes},
                    {"why_not", one.why_not.empty() ? Json(nullptr) : Json(one.why_not)}});
  }
  return list;
}

Json rise(const std::optional<findings::RiseFinding>& rise) {
  if (!rise) return nullptr;
  return {{"heel_height_mm", rise->heel_height_mm},
          {"mtp_extension_deg", rise->mtp_extension_deg},
          {"mtp_left_deg", rise->mtp_left_deg},
          {"rolls_through", rise->rolls_through}};
}

Json way_down(const Findings& f) {
  if (!f.way_down) return nullptr;
  Json list = Json::array();
  for (const findings::HeightFinding& height : *f.way_down) {
    list.push_back({{"on_floor", height.on_floor},
                    {"heel_height_mm", height.heel_height_mm},
                    {"heel_slack_mm", height.heel_slack_mm},
                    {"shank_gap_mm", height.shank_gap_mm},
                    {"shank_gap_from_heel_mm", height.shank_gap_from_heel_mm},
                    {"mtp_extension_deg", height.mtp_extension_deg},
                    {"ankle_moment_Nm", height.ankle_moment_Nm},
                    {"peak_kPa", height.peak_kPa}});
  }
  return list;
}

void add_findings(Json& json, const Findings& f) {
  json["depth_mm"] = number(f.depth_mm);
  json["tip_clearance_seated_mm"] = number(f.tip_clearance_seated_mm);
  json["sink_mm"] = number(f.sink_mm);
  json["sink_parts"] = {
      {"slide_mm", number(f.slide_mm)}, {"tissue_mm", number(f.tissue_mm)}, {"curl_mm", number(f.curl_mm)}};
  json["crowding_index"] = number(f.crowding_index);
  json["load_share"] = load_share(f.load_share);
  json["load_kind"] = load_kind(f.load_kind);
  json["toes"] = toes(f);
  json["peak_kPa"] = number(f.peak_kPa);
  json["contact_area_mm2"] = number(f.contact_area_mm2);
  json["regions"] = regions(f);
  json["break_point"] = nullptr;
  if (f.break_point.applies)
    json["break_point"] = {{"held", f.break_point.held},
                           {"front_offset_mm", number(f.break_point.front_offset_mm)},
                           {"apex_offset_mm", number(f.break_point.apex_offset_mm)},
                           {"back_offset_mm", number(f.break_point.back_offset_mm)},
                           {"arch_fraction", number(f.break_point.arch_fraction)},
                           {"width_mm", number(f.break_point.width_mm)},
                           {"bends_at_box", f.break_point.bends_at_box}};
  json["plumb"] = nullptr;
  if (f.plumb.applies)
    json["plumb"] = {{"fore_aft_mm", number(f.plumb.fore_aft_mm)}, {"medial_mm", number(f.plumb.medial_mm)},
                     {"margin_mm", number(f.plumb.margin_mm)},     {"cop_fore_aft_mm", f.plumb.cop_fore_aft_mm},
                     {"cop_medial_mm", f.plumb.cop_medial_mm},     {"gets_over", f.plumb.gets_over}};
  json["pointing_needed_deg"] = number(f.pointing_needed_deg);
  json["moment_needed_Nm"] = number(f.moment_needed_Nm);
  json["ankle_moment_Nm"] = number(f.ankle_moment_Nm);
  json["plantarflexion_used_deg"] = number(f.plantarflexion_used_deg);
  json["plantarflexion_left_deg"] = number(f.plantarflexion_left_deg);
  json["side_roll_deg"] = number(f.side_roll_deg);
  json["twist_deg"] = number(f.twist_deg);
  json["heel_slack_mm"] = number(f.heel_slack_mm);
  json["toe_room_mm"] = number(f.toe_room_mm);
  json["wing_cover"] = {{"medial_mm", number(f.wing_cover_medial_mm)}, {"lateral_mm", number(f.wing_cover_lateral_mm)}};
  json["vamp_cover_mm"] = number(f.vamp_cover_mm);
  json["vamp_cover_toes_mm"] = numbers(f.vamp_cover_toe_mm);
  json["flesh_over_vamp_mm"] = number(f.flesh_over_vamp_mm);
  json["vamp_edge_kPa"] = number(f.vamp_edge_kPa);
  json["rise"] = rise(f.rise);
  json["way_down"] = way_down(f);
  json["crown_gap_mm"] = numbers(f.crown_gap_mm);
  json["wall_give_mm"] = number(f.wall_give_mm);
  json["friction_band"] = friction_band(f);
  json["bands"] = bands(f);
  if (f.doubts) json["bands_evidence"] = bands_evidence(*f.doubts);
  if (f.gradients) json["gradients"] = gradients(*f.gradients);
  json["advice"] = f.advice;
}

/// Dotted key of the first number that is not finite.
std::optional<std::string> not_finite(const Json& json, const std::string& key) {
  if (json.is_number_float()) return std::isfinite(json.get<double>()) ? std::nullopt : std::optional(key);
  if (!json.is_structured()) return std::nullopt;
  std::size_t index = 0;
  for (auto item = json.begin(); item != json.end(); ++item, ++index) {
    const std::string name = json.is_object() ? item.key() : fmt::format("{}", index);
    if (auto found = not_finite(*item, key.empty() ? name : key + "." + name)) return found;
  }
  return std::nullopt;
}

}  // namespace

io::Json to_json(const Findings& f) {
  Json json;
  json["format"] = "aplomb-stand";
  json["format_version"] = stand_format_version;
  json["version"] = f.version;
  json["side"] = f.side == foot::Side::left ? "left" : "right";
  json["position"] = f.position;
  json["inputs"] = inputs(f);
  json["converged"] = f.converged;
  if (!f.converged) json["reason"] = f.reason;
  // A run that broke down may have no balance to speak of; that it did not converge is the answer then.
  json["force_balance_error"] = f.converged ? Json(f.force_balance_error) : io::number_or_null(f.force_balance_error);
  if (f.converged) {
    json["goes_in"] = f.goes_in;
    add_findings(json, f);
  } else if (!f.goes_in) {
    json["goes_in"] = false;
  }
  json["limits"] = f.limits;
  json["solve_ms"] = f.solve_ms;
  return json;
}

io::Result<void> check_finite(const Findings& findings) {
  if (const auto key = not_finite(to_json(findings), "")) {
    return io::fail({.kind = io::ErrorKind::not_converged,
                     .field = *key,
                     .message = "is not a finite number, so the result is not to be trusted",
                     .remedy = "please report it with the files given"});
  }
  return {};
}

io::Result<void> write_json(const std::string& target, const Findings& findings) {
  if (auto checked = check_finite(findings); !checked) return checked;
  return io::write_json(target, to_json(findings));
}

}  // namespace aplomb::report
