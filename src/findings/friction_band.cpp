// Path answer and settled answer side by side, number by number.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <utility>

#include "aplomb/findings/assess.h"

namespace aplomb::findings {

namespace {

/// Everything that friction can change, in the same order for every Findings.
std::vector<NamedNumber> numbers(const Findings& f) {
  const auto of = [](const auto& part, auto member) { return part ? Number((*part).*member) : Number(); };
  std::vector<NamedNumber> list{
      {"depth_mm", f.depth_mm},
      {"sink_mm", f.sink_mm},
      {"sink_parts.slide_mm", f.slide_mm},
      {"sink_parts.tissue_mm", f.tissue_mm},
      {"sink_parts.curl_mm", f.curl_mm},
      {"crowding_index", f.crowding_index},
      {"load_share.platform", of(f.load_share, &LoadShare::platform)},
      {"load_share.wall_normal", of(f.load_share, &LoadShare::wall_normal)},
      {"load_share.wall_friction", of(f.load_share, &LoadShare::wall_friction)},
      {"load_share.vamp", of(f.load_share, &LoadShare::vamp)},
      {"load_share.shank_heel", of(f.load_share, &LoadShare::shank_heel)},
      {"load_kind.forefoot_normal", of(f.load_kind, &LoadKind::forefoot_normal)},
      {"load_kind.all_friction", of(f.load_kind, &LoadKind::all_friction)},
      {"load_kind.heel_and_shank", of(f.load_kind, &LoadKind::heel_and_shank)},
      {"peak_kPa", f.peak_kPa},
      {"contact_area_mm2", f.contact_area_mm2},
      {"break_point.front_offset_mm", f.break_point.front_offset_mm},
      {"break_point.apex_offset_mm", f.break_point.apex_offset_mm},
      {"break_point.back_offset_mm", f.break_point.back_offset_mm},
      {"break_point.arch_fraction", f.break_point.arch_fraction},
      {"break_point.width_mm", f.break_point.width_mm},
      {"plumb.fore_aft_mm", f.plumb.fore_aft_mm},
      {"plumb.medial_mm", f.plumb.medial_mm},
      {"plumb.margin_mm", f.plumb.margin_mm},
      {"plumb.cop_fore_aft_mm", f.plumb.cop_fore_aft_mm},
      {"plumb.cop_medial_mm", f.plumb.cop_medial_mm},
      {"ankle_moment_Nm", f.ankle_moment_Nm},
      {"plantarflexion_used_deg", f.plantarflexion_used_deg},
      {"plantarflexion_left_deg", f.plantarflexion_left_deg},
      {"side_roll_deg", f.side_roll_deg},
      {"twist_deg", f.twist_deg},
      {"wing_cover.medial_mm", f.wing_cover_medial_mm},
      {"wing_cover.lateral_mm", f.wing_cover_lateral_mm},
      {"vamp_cover_mm", f.vamp_cover_mm},
      {"wall_give_mm", f.wall_give_mm},
      {"flesh_over_vamp_mm", f.flesh_over_vamp_mm},
  };
  for (std::size_t k = 0; k < f.toes.size(); ++k) {
    const ToeFindings& toe = f.toes[k];
    for (const auto& [key, value] : {std::pair{"squeeze_mm", toe.squeeze_mm},
                                     {"load_share", toe.load_share},
                                     {"peak_kPa", toe.peak_kPa},
                                     {"overlap_mm", toe.overlap_mm},
                                     {"bend_deg", toe.bend_deg},
                                     {"gap_mm", toe.gap_mm},
                                     {"sink_mm", toe.sink_mm}})
      list.push_back({fmt::format("toes.{}.{}", k, key), value});
    list.push_back({fmt::format("crown_gap_mm.{}", k), f.crown_gap_mm[k]});
  }
  return list;
}

}  // namespace

std::vector<NamedNumber> named_numbers(const Findings& f) {
  std::vector<NamedNumber> list = numbers(f);
  const auto add = [&list](std::string key, const Number& value) { list.push_back({std::move(key), value}); };
  add("tip_clearance_seated_mm", f.tip_clearance_seated_mm);
  add("pointing_needed_deg", f.pointing_needed_deg);
  add("moment_needed_Nm", f.moment_needed_Nm);
  add("heel_slack_mm", f.heel_slack_mm);
  add("toe_room_mm", f.toe_room_mm);
  add("vamp_edge_kPa", f.vamp_edge_kPa);
  const auto of = [](const auto& part, auto member) { return part ? Number((*part).*member) : Number(); };
  add("rise.heel_height_mm", of(f.rise, &RiseFinding::heel_height_mm));
  add("rise.mtp_extension_deg", of(f.rise, &RiseFinding::mtp_extension_deg));
  add("rise.mtp_left_deg", of(f.rise, &RiseFinding::mtp_left_deg));
  for (std::size_t k = 0; k < f.toes.size(); ++k) {
    const ToeFindings& toe = f.toes[k];
    add(fmt::format("toes.{}.room_mm", k), toe.room_mm);
    add(fmt::format("toes.{}.tip_clearance_seated_mm", k), toe.tip_clearance_seated_mm);
    add(fmt::format("toes.{}.slide_mm", k), toe.slide_mm);
    add(fmt::format("toes.{}.tissue_mm", k), toe.tissue_mm);
    add(fmt::format("toes.{}.curl_mm", k), toe.curl_mm);
    add(fmt::format("vamp_cover_toes_mm.{}", k), f.vamp_cover_toe_mm[k]);
  }
  return list;
}

std::vector<NamedNumber> named_heights(const Findings& f) {
  std::vector<NamedNumber> list;
  if (!f.way_down) return list;
  for (std::size_t k = 0; k < f.way_down->size(); ++k) {
    const HeightFinding& height = (*f.way_down)[k];
    for (const auto& [key, value] : {std::pair{"heel_height_mm", height.heel_height_mm},
                                     {"heel_slack_mm", height.heel_slack_mm},
                                     {"shank_gap_mm", height.shank_gap_mm},
                                     {"mtp_extension_deg", height.mtp_extension_deg},
                                     {"ankle_moment_Nm", height.ankle_moment_Nm},
                                     {"peak_kPa", height.peak_kPa}})
      list.push_back({fmt::format("way_down.{}.{}", k, key), value});
  }
  return list;
}

std::vector<Findings::Band> friction_band(const Findings& path, const Findings& settled) {
  const std::vector<NamedNumber> before = numbers(path), after = numbers(settled);
  std::vector<Findings::Band> bands;
  for (std::size_t i = 0; i < before.size(); ++i)
    if (before[i].value && after[i].value) bands.push_back({before[i].key, *before[i].value, *after[i].value});
  return bands;
}

}  // namespace aplomb::findings
