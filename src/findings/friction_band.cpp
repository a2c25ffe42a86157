// Path answer and settled answer side by side, number by number.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <utility>

#include "aplomb/findings/assess.h"

namespace aplomb::findings {

namespace {

using Named = std::pair<std::string, Number>;

/// Everything that friction can change, in the same order for every Findings.
std::vector<Named> numbers(const Findings& f) {
  const auto of = [](const auto& part, auto member) { return part ? Number((*part).*member) : Number(); };
  std::vector<Named> list{
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
      list.emplace_back(fmt::format("toes.{}.{}", k, key), value);
    list.emplace_back(fmt::format("crown_gap_mm.{}", k), f.crown_gap_mm[k]);
  }
  return list;
}

}  // namespace

std::vector<Findings::Band> friction_band(const Findings& path, const Findings& settled) {
  const std::vector<Named> before = numbers(path), after = numbers(settled);
  std::vector<Findings::Band> bands;
  for (std::size_t i = 0; i < before.size(); ++i)
    if (before[i].second && after[i].second) bands.push_back({before[i].first, *before[i].second, *after[i].second});
  return bands;
}

}  // namespace aplomb::findings
