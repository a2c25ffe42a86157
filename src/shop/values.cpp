// One table of names, so that a rule can speak of any finding and of nothing else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/values.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "aplomb/stance/positions.h"

namespace aplomb::shop {

namespace {

using findings::Findings;
using findings::LoadShare;
using findings::Number;
using stance::Applies;
using stance::Position;

using Where = std::function<bool(Position)>;

struct Row {
  ValueName name;
  Where made;
  std::function<Number(const Findings&)> value;
};

Where where(bool Applies::*member) {
  return [member](Position position) { return stance::applies(position).*member; };
}

Where only(Position position) {
  return [position](Position other) { return other == position; };
}

bool everywhere(Position) { return true; }

Number share(const Findings& f, double LoadShare::*member) {
  return f.load_share ? Number((*f.load_share).*member) : Number();
}

/// How much of the highest pressure of the foot a region has: a share, because kPa alone are not graded.
Number share_of_peak(const Findings& f, const std::string& region) {
  if (!f.peak_kPa || *f.peak_kPa <= 0) return {};
  for (const findings::RegionPressure& r : f.regions)
    if (r.region == region) return r.peak_kPa / *f.peak_kPa;
  return {};
}

void add_toes(std::vector<Row>& rows) {
  for (std::size_t k = 0; k < foot::toe_count; ++k) {
    const std::string toe = foot::toe_names[k];
    const auto row = [&](const char* key, const char* unit, const char* words, const Where& made,
                         Number findings::ToeFindings::*member) {
      rows.push_back({{fmt::format("toes.{}.{}", toe, key), unit, fmt::format("{} toe's {}", toe, words)},
                      made,
                      [k, member](const Findings& f) { return f.toes[k].*member; }});
    };
    row("squeeze_mm", "mm", "squeeze", everywhere, &findings::ToeFindings::squeeze_mm);
    row("load_share", "percent", "load share", where(&Applies::load), &findings::ToeFindings::load_share);
    row("overlap_mm", "mm", "overlap", everywhere, &findings::ToeFindings::overlap_mm);
    row("bend_deg", "deg", "bend gained", where(&Applies::load), &findings::ToeFindings::bend_deg);
    row("room_mm", "mm", "room", where(&Applies::toe_room), &findings::ToeFindings::room_mm);
    row("gap_mm", "mm", "gap above", everywhere, &findings::ToeFindings::gap_mm);
    row("curl_mm", "mm", "curl", where(&Applies::sink), &findings::ToeFindings::curl_mm);
    rows.push_back({{fmt::format("crown_gap_mm.{}", toe), "mm", fmt::format("crown gap over the {} joint", toe)},
                    everywhere,
                    [k](const Findings& f) { return f.crown_gap_mm[k]; }});
  }
}

/// The most of `sign` times a number over the heights at which box or sole lie on the floor.
Number on_the_way_down(const Findings& f, double findings::HeightFinding::*member, double sign) {
  Number most;
  if (!f.way_down) return most;
  for (const findings::HeightFinding& height : *f.way_down)
    if (height.on_floor == "box" || height.on_floor == "sole")
      most = std::max(most.value_or(-1e9), sign * height.*member);
  return most;
}

std::vector<Row> make_rows() {
  std::vector<Row> rows = {
      {{"depth_mm", "mm", "depth"}, where(&Applies::depth), [](const Findings& f) { return f.depth_mm; }},
      {{"sink_mm", "mm", "sink"}, where(&Applies::sink), [](const Findings& f) { return f.sink_mm; }},
      {{"tip_clearance_seated_mm", "mm", "tip clearance, seated"},
       where(&Applies::depth),
       [](const Findings& f) { return f.tip_clearance_seated_mm; }},
      {{"crowding_index", "share", "crowding"}, everywhere, [](const Findings& f) { return f.crowding_index; }},
      {{"load_share.platform", "percent", "load on the platform"},
       where(&Applies::load),
       [](const Findings& f) { return share(f, &LoadShare::platform); }},
      {{"load_share.wall_normal", "percent", "load on the wall"},
       where(&Applies::load),
       [](const Findings& f) { return share(f, &LoadShare::wall_normal); }},
      {{"load_share.vamp", "percent", "load on the vamp"},
       where(&Applies::load),
       [](const Findings& f) { return share(f, &LoadShare::vamp); }},
      {{"break_point.arch_fraction", "share", "break along the arch"},
       where(&Applies::break_point),
       [](const Findings& f) { return f.break_point.arch_fraction; }},
      {{"plumb.fore_aft_mm", "mm", "plumb, fore and aft"},
       where(&Applies::plumb),
       [](const Findings& f) { return f.plumb.fore_aft_mm; }},
      {{"plumb.medial_mm", "mm", "plumb, to the side"},
       where(&Applies::plumb),
       [](const Findings& f) { return f.plumb.medial_mm; }},
      {{"plumb.margin_mm", "mm", "margin to the platform's edge"},
       where(&Applies::plumb),
       [](const Findings& f) { return f.plumb.margin_mm; }},
      {{"plantarflexion_left_deg", "deg", "pointing left"},
       where(&Applies::plumb),
       [](const Findings& f) { return f.plantarflexion_left_deg; }},
      {{"side_roll_deg", "deg", "side roll"},
       where(&Applies::plumb),
       [](const Findings& f) { return f.side_roll_deg; }},
      {{"twist_deg", "deg", "twist"}, where(&Applies::plumb), [](const Findings& f) { return f.twist_deg; }},
      {{"heel_slack_mm", "mm", "heel slack"},
       where(&Applies::heel_slack),
       [](const Findings& f) { return f.heel_slack_mm; }},
      {{"toe_room_mm", "mm", "toe room"}, where(&Applies::toe_room), [](const Findings& f) { return f.toe_room_mm; }},
      {{"wing_cover.medial_mm", "mm", "wing cover, medial"},
       everywhere,
       [](const Findings& f) { return f.wing_cover_medial_mm; }},
      {{"wing_cover.lateral_mm", "mm", "wing cover, lateral"},
       everywhere,
       [](const Findings& f) { return f.wing_cover_lateral_mm; }},
      {{"vamp_cover_mm", "mm", "vamp cover"}, everywhere, [](const Findings& f) { return f.vamp_cover_mm; }},
      {{"flesh_over_vamp_mm", "mm", "flesh over the vamp"},
       everywhere,
       [](const Findings& f) { return f.flesh_over_vamp_mm; }},
      {{"peak_share.ball_medial", "share", "pressure on the big toe joint against the highest"},
       where(&Applies::load),
       [](const Findings& f) { return share_of_peak(f, "ball_medial"); }},
      {{"peak_share.ball_lateral", "share", "pressure on the little toe joint against the highest"},
       where(&Applies::load),
       [](const Findings& f) { return share_of_peak(f, "ball_lateral"); }},
      {{"rise.mtp_left_deg", "deg", "big toe joint's bending left"},
       only(Position::demi_pointe),
       [](const Findings& f) { return f.rise ? Number(f.rise->mtp_left_deg) : Number(); }},
      {{"way_down.shank_gap_mm", "mm", "sole off the arch on the way down, the most"},
       only(Position::roll_down),
       [](const Findings& f) { return on_the_way_down(f, &findings::HeightFinding::shank_gap_mm, 1); }},
      {{"way_down.heel_over_mm", "mm", "heel over the end of the sole on the way down, the most"},
       only(Position::roll_down),
       [](const Findings& f) { return on_the_way_down(f, &findings::HeightFinding::heel_slack_mm, -1); }},
  };
  add_toes(rows);
  return rows;
}

const std::vector<Row>& rows() {
  static const std::vector<Row> all = make_rows();
  return all;
}

/// Height of the unloaded forefoot at the ball: skin within 4 mm of the second metatarsal head along the foot.
double forefoot_height_mm(const foot::Foot& foot) {
  const double x = foot.landmarks.at("MThead2").position_F.x();
  double low = 1e9, high = -1e9;
  for (const geometry::Vec3& v : foot.skin.vertices_F)
    if (std::abs(v.x() - x) < 4) low = std::min(low, v.z()), high = std::max(high, v.z());
  return high - low;
}

double measured(const foot::Foot& foot, const std::string& key) {
  const auto found = foot.measurements.find(key);
  return found == foot.measurements.end() ? std::nan("") : found->second.value;
}

}  // namespace

const std::vector<ValueName>& solved_names() {
  static const std::vector<ValueName> names = [] {
    std::vector<ValueName> all;
    for (const Row& row : rows()) all.push_back(row.name);
    return all;
  }();
  return names;
}

const std::vector<ValueName>& measured_names() {
  static const std::vector<ValueName> names = {
      {"spare_length_mm", "mm", "inner length over her foot's"},
      {"spare_breadth_mm", "mm", "inner breadth over her squeezed forefoot"},
      {"spare_crown_mm", "mm", "crown over her forefoot's height"},
      {"spare_heel_mm", "mm", "heel seat over her heel's breadth"},
      {"foot.squeeze_mm", "mm", "what a hand squeezes off the forefoot"},
      {"foot.second_ahead_mm", "mm", "second toe ahead of the hallux"},
      {"foot.little_lift_mm", "mm", "little toe off the floor"},
      {"foot.hallux_angle_deg", "deg", "lean of the hallux"},
      {"foot.arch_share", "share", "arch height over foot length"},
      {"foot.pointing_deg", "deg", "pointing range"},
      {"foot.age_years", "years", "age"},
  };
  return names;
}

const ValueName* value_named(std::string_view name, bool measured) {
  const std::vector<ValueName>& names = measured ? measured_names() : solved_names();
  const auto found = std::find_if(names.begin(), names.end(), [&](const ValueName& n) { return n.name == name; });
  return found == names.end() ? nullptr : &*found;
}

bool made_in(std::string_view finding, const std::string& position) {
  const std::vector<Row>& all = rows();
  const auto row = std::find_if(all.begin(), all.end(), [&](const Row& one) { return one.name.name == finding; });
  return row->made(*stance::position_named(position));
}

Values values_of(const Findings& findings) {
  Values values;
  for (const Row& row : rows())
    if (const Number value = row.value(findings); value && std::isfinite(*value)) values[row.name.name] = *value;
  return values;
}

Values measure(const foot::Foot& foot, const shoe::ShoeParameters& shoe) {
  constexpr double packed = 0.5;  // soft padding under weight keeps so much of its thickness [G]
  const auto pad = [&](shoe::PadRegion region) {
    return packed * shoe.layers.padding[static_cast<std::size_t>(region)].thickness_mm;
  };
  const double tights = packed * shoe.layers.tights.thickness_mm, toes = pad(shoe::PadRegion::toes),
               ball = pad(shoe::PadRegion::ball);
  Values values;
  const auto set = [&](const char* name, double value) {
    if (std::isfinite(value)) values[name] = value;
  };
  set("spare_length_mm", shoe.inner_length_mm - foot.length_mm - 2 * tights - toes - pad(shoe::PadRegion::toe_tips) -
                             pad(shoe::PadRegion::heel));
  set("spare_breadth_mm", shoe.ball_breadth_mm - foot.breadth_squeezed_mm - 2 * (tights + ball));
  set("spare_crown_mm",
      shoe.crown_height_mm - forefoot_height_mm(foot) - 2 * (tights + ball) - pad(shoe::PadRegion::metatarsal_heads));
  set("spare_heel_mm", shoe.heel_seat_breadth_mm - measured(foot, "heel_breadth_mm") - 2 * tights);
  set("foot.squeeze_mm", foot.breadth_relaxed_mm - foot.breadth_squeezed_mm);
  set("foot.second_ahead_mm", foot.landmarks.at("tip2").position_F.x() - foot.landmarks.at("tip1").position_F.x());
  set("foot.little_lift_mm", measured(foot, "toes.little.lift_mm"));
  set("foot.hallux_angle_deg", measured(foot, "hallux_angle_deg"));
  set("foot.arch_share", measured(foot, "arch_height_mm") / foot.length_mm);
  set("foot.pointing_deg", foot.plantarflexion_deg);
  if (foot.age_years) set("foot.age_years", *foot.age_years);
  return values;
}

}  // namespace aplomb::shop
