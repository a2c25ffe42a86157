// The numbers of the findings that studies speak of.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "aplomb/study/summary.h"

namespace aplomb::study {

namespace {

using findings::Findings;
using findings::LoadKind;
using findings::LoadShare;
using findings::Number;

Quantity of_share(const char* key, double LoadShare::*member) {
  return {key, [member](const Findings& f) { return f.load_share ? Number((*f.load_share).*member) : Number(); }};
}

Quantity of_kind(const char* key, double LoadKind::*member) {
  return {key, [member](const Findings& f) { return f.load_kind ? Number((*f.load_kind).*member) : Number(); }};
}

std::vector<Quantity> listed() {
  std::vector<Quantity> list = {
      {"depth_mm", &Findings::depth_mm},
      {"tip_clearance_seated_mm", &Findings::tip_clearance_seated_mm},
      {"sink_mm", &Findings::sink_mm},
      {"slide_mm", &Findings::slide_mm},
      {"tissue_mm", &Findings::tissue_mm},
      {"curl_mm", &Findings::curl_mm},
      {"crowding_index", &Findings::crowding_index},
      of_share("load_share_platform", &LoadShare::platform),
      of_share("load_share_wall_normal", &LoadShare::wall_normal),
      of_share("load_share_wall_friction", &LoadShare::wall_friction),
      of_share("load_share_vamp", &LoadShare::vamp),
      of_share("load_share_shank_heel", &LoadShare::shank_heel),
      {"load_share_sum", [](const Findings& f) { return f.load_share ? Number(f.load_share->sum()) : Number(); }},
      of_kind("forefoot_normal", &LoadKind::forefoot_normal),
      of_kind("all_friction", &LoadKind::all_friction),
      of_kind("heel_and_shank", &LoadKind::heel_and_shank)};
  for (std::size_t toe = 0; toe < foot::toe_count; ++toe)
    list.push_back({fmt::format("{}_load_share", foot::toe_names[toe]),
                    [toe](const Findings& f) { return f.toes[toe].load_share; }});
  for (std::size_t toe = 0; toe < foot::toe_count; ++toe)
    list.push_back(
        {fmt::format("{}_bend_deg", foot::toe_names[toe]), [toe](const Findings& f) { return f.toes[toe].bend_deg; }});
  const std::vector<Quantity> rest = {
      {"peak_kPa", &Findings::peak_kPa},
      {"contact_area_mm2", &Findings::contact_area_mm2},
      {"plumb_fore_aft_mm", [](const Findings& f) { return f.plumb.fore_aft_mm; }},
      {"plumb_medial_mm", [](const Findings& f) { return f.plumb.medial_mm; }},
      {"plumb_margin_mm", [](const Findings& f) { return f.plumb.margin_mm; }},
      {"break_arch_fraction", [](const Findings& f) { return f.break_point.arch_fraction; }},
      {"break_apex_offset_mm", [](const Findings& f) { return f.break_point.apex_offset_mm; }},
      {"plantarflexion_used_deg", &Findings::plantarflexion_used_deg},
      {"ankle_moment_Nm", &Findings::ankle_moment_Nm},
      {"side_roll_deg", &Findings::side_roll_deg},
      {"twist_deg", &Findings::twist_deg}};
  list.insert(list.end(), rest.begin(), rest.end());
  return list;
}

}  // namespace

const std::vector<Quantity>& quantities() {
  static const std::vector<Quantity> list = listed();
  return list;
}

}  // namespace aplomb::study
