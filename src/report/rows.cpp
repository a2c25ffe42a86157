// Findings in plain words. Every word about a finding is here, so that table, picture and PDF cannot disagree.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

#include "quantity.h"

namespace aplomb::report {

namespace {

using findings::Findings;
using findings::Number;
using findings::ToeFindings;

/// A Row's doubt; nothing where no bands were asked for.
std::string doubt_text(const Findings& f, const std::string& key, const Quantity& quantity) {
  if (!f.doubts || key.empty()) return {};
  const Quantity bare{quantity.decimals, "", quantity.is_signed, quantity.factor};
  for (const findings::Doubt& band : f.doubts->bands)
    if (band.key == key)
      return fmt::format("{}[{} .. {}]", band.by_expansion ? "" : "~", text(band.low, bare), text(band.high, bare));
  return "[not known]";
}

/// Collects the rows of one section; a finding that does not apply makes no row.
class Rows {
 public:
  Rows(const Findings& f, std::string title) : findings_(f) { section_.title = std::move(title); }

  Rows& add(std::string key, std::string name, const Number& value, Quantity quantity, std::string meaning) {
    if (value)
      section_.rows.push_back({key, std::move(name), text(*value, quantity), std::move(meaning), band(key, quantity),
                               doubt_text(findings_, key, quantity)});
    return *this;
  }
  /// The meaning of a signed finding: `positive` also for zero.
  Rows& add(std::string key, std::string name, const Number& value, Quantity quantity, const std::string& positive,
            const std::string& negative) {
    return add(std::move(key), std::move(name), value, quantity, value.value_or(0) < 0 ? negative : positive);
  }
  Rows& say(std::string key, std::string name, std::string value, std::string meaning) {
    section_.rows.push_back({std::move(key), std::move(name), std::move(value), std::move(meaning), {}, {}});
    return *this;
  }
  Section take() { return std::move(section_); }

 private:
  std::string band(const std::string& key, Quantity quantity) const {
    if (!findings_.friction_band) return {};
    for (const Findings::Band& band : *findings_.friction_band) {
      if (band.key != key) continue;
      const std::string low = text(std::min(band.path, band.settled), quantity),
                        high = text(std::max(band.path, band.settled), quantity);
      if (low == high) return "unchanged";
      const Quantity bare{quantity.decimals, "", quantity.is_signed, quantity.factor};
      return fmt::format("{} to {}", text(std::min(band.path, band.settled), bare), high);
    }
    return {};
  }

  const Findings& findings_;
  Section section_;
};

Section standing(const Findings& f) {
  Rows rows(f, "How deep she stands");
  if (!f.goes_in)
    rows.say("goes_in", "Goes in", "no",
             "toes or walls carry the foot while the heel is still outside its seat; numbers are of it held there");
  return rows
      .add("depth_mm", "Depth", f.depth_mm, mm_signed, "toe joints lower than on straight, unloaded toes",
           "hung up: toe joints higher than on straight toes")
      .add("tip_clearance_seated_mm", "Tip clearance, seated", f.tip_clearance_seated_mm, mm_signed,
           "toe tips clear of the platform before she takes weight",
           "toe tips press on the platform before she takes weight")
      .add("sink_mm", "Sink", f.sink_mm, mm_signed, "toe joints come down this much as she takes her weight",
           "toe joints rise this much as she takes her weight")
      .add("sink_parts.slide_mm", "  of it slide", f.slide_mm, mm_signed, "toes slide down toward the platform",
           "toes move up from the platform")
      .add("sink_parts.tissue_mm", "  of it tissue", f.tissue_mm, mm_signed, "soft toe tips give",
           "soft toe tips recover")
      .add("sink_parts.curl_mm", "  of it curl", f.curl_mm, mm_signed, "toes bend and get shorter",
           "toes straighten and get longer")
      .add("crowding_index", "Crowding", f.crowding_index, percent_of_one,
           "of the toes' free breadth is lost in the box")
      .take();
}

Section load(const Findings& f) {
  Rows rows(f, "What carries the load");
  if (f.load_share) {
    const findings::LoadShare& share = *f.load_share;
    const std::string pulls = "pulls down instead of carrying";
    rows.add("load_share.platform", "On the platform", share.platform, percent, "under the toe tips", pulls)
        .add("load_share.wall_normal", "Box wall, pressing", share.wall_normal, percent,
             "the wall holds the foot by its taper", pulls)
        .add("load_share.wall_friction", "Box wall, friction", share.wall_friction, percent,
             "skin holds on to the lining", pulls)
        .add("load_share.vamp", "Vamp", share.vamp, percent, "over the toes and their joints", pulls)
        .add("load_share.shank_heel", "Shank and heel", share.shank_heel, percent,
             "shank under the sole, upper round the heel", pulls)
        .add("", "Together", share.sum(), percent, "added up, not adjusted");
  }
  return rows.take();
}

Section pressure(const Findings& f) {
  return Rows(f, "Pressure on the skin")
      .add("peak_kPa", "Peak pressure", f.peak_kPa, kPa, "highest mean over 0.5 cm\u00b2 of skin")
      .add("contact_area_mm2", "Skin that carries", f.contact_area_mm2, cm2_of_mm2, "all loaded skin together")
      .take();
}

Section shank(const Findings& f) {
  const findings::BreakFinding& point = f.break_point;
  Rows rows(f, "Where the shank breaks");
  if (!point.applies) return rows.take();
  if (!point.held) {
    rows.say("break_point", "Break", "none", "without heel tension the shank does not follow the arch");
    return rows.take();
  }
  rows.add("break_point.front_offset_mm", "From the arch's front", point.front_offset_mm, mm_signed,
           "toward the heel from where the arch leaves the ball", "toward the toes from where the arch leaves the ball")
      .add("break_point.apex_offset_mm", "From the arch's top", point.apex_offset_mm, mm_signed,
           "toward the heel from the highest point", "toward the toes from the highest point")
      .add("break_point.back_offset_mm", "From the arch's back", point.back_offset_mm, mm_signed,
           "toward the heel from where the heel begins", "toward the toes from where the heel begins")
      .add("break_point.arch_fraction", "Break along the arch", point.arch_fraction, percent_of_one,
           "0 % is its front, 100 % its back")
      .add("break_point.width_mm", "Break width", point.width_mm, mm, "length over which it bends most");
  if (point.bends_at_box)
    rows.say("break_point.bends_at_box", "At the box", "bends", "the shank also bends where it leaves the box");
  return rows.take();
}

Section balance(const Findings& f) {
  const findings::Plumb& plumb = f.plumb;
  Rows rows(f, "Over the platform");
  // Sideways the other foot answers.
  const std::string judged = f.position == "full-pointe-two" ? ", fore and aft" : "";
  rows.add("plumb.fore_aft_mm", "Plumb, fore and aft", plumb.fore_aft_mm, mm_signed,
           "ankle in front of the platform's centre (dorsal)", "ankle behind the platform's centre (toward the sole)")
      .add("plumb.medial_mm", "Plumb, to the side", plumb.medial_mm, mm_signed,
           "ankle to the inner side of the centre (medial)", "ankle to the outer side of the centre (lateral)")
      .add("plumb.margin_mm", "Margin to the edge", plumb.margin_mm, mm_signed,
           "centre of pressure inside the platform's edge" + judged,
           "centre of pressure outside the edge" + judged + ": she does not get over")
      .add("pointing_needed_deg", "Pointing needed", f.pointing_needed_deg, deg, "with which she would get over")
      .add("moment_needed_Nm", "Ankle moment needed", f.moment_needed_Nm, Nm_signed,
           "with which she would get over, pointing", "with which she would get over, pulling up")
      .add("ankle_moment_Nm", "Ankle moment", f.ankle_moment_Nm, Nm_signed,
           "she holds this, pointing (plantar-flexing)", "she holds this, pulling up (dorsiflexing)")
      .add("plantarflexion_used_deg", "Pointing used", f.plantarflexion_used_deg, deg, "shin to foot, midfoot included")
      .add("plantarflexion_left_deg", "Pointing left", f.plantarflexion_left_deg, deg_signed, "of her own range",
           "beyond her own range")
      .add("side_roll_deg", "Side roll", f.side_roll_deg, deg_signed, "ankle end leans to the inner side (medial)",
           "ankle end leans to the outer side (lateral)")
      .add("twist_deg", "Twist", f.twist_deg, deg_signed, "top of the foot turned to the outer side (lateral)",
           "top of the foot turned to the inner side (medial)");
  return rows.take();
}

Section on_the_ball(const Findings& f) {
  Rows rows(f, "On the ball of the foot");
  if (!f.rise) return rows.take();
  return rows
      .say("rise.rolls_through", "Rolls through", f.rise->rolls_through ? "yes" : "no",
           f.rise->rolls_through ? "she stands over the ball with toe joints inside their range"
                                 : "toe joints or ankle come to their end before she stands over the ball")
      .add("rise.heel_height_mm", "Heel height", f.rise->heel_height_mm, mm, "heel over the floor")
      .add("rise.mtp_extension_deg", "Toe joint bent up", f.rise->mtp_extension_deg, deg_signed,
           "big toe's joint, from standing")
      .add("rise.mtp_left_deg", "  of it left", f.rise->mtp_left_deg, deg_signed, "of that joint's range",
           "past that joint's range")
      .take();
}

Section cover(const Findings& f) {
  return Rows(f, "Round the foot")
      .add("heel_slack_mm", "Heel slack", f.heel_slack_mm, mm_signed,
           f.position == "on-box" ? "height of the fold that can be pinched" : "length left behind the heel",
           f.position == "on-box" ? "no cloth to pinch: the upper lacks this much at the heel"
                                  : "length lacking at the heel")
      .add("toe_room_mm", "Toe room", f.toe_room_mm, mm_signed, "longest toe to the front wall",
           "longest toe pushes the front wall")
      .add("wing_cover.medial_mm", "Wing cover, medial", f.wing_cover_medial_mm, mm_signed,
           "wing ends past the big toe's joint", "wing ends short of the big toe's joint")
      .add("wing_cover.lateral_mm", "Wing cover, lateral", f.wing_cover_lateral_mm, mm_signed,
           "wing ends past the little toe's joint", "wing ends short of the little toe's joint")
      .add("vamp_cover_mm", "Vamp cover, least", f.vamp_cover_mm, mm_signed, "vamp ends past every toe crease",
           "vamp ends short of a toe crease")
      .add("flesh_over_vamp_mm", "Flesh over the vamp", f.flesh_over_vamp_mm, mm_signed,
           "skin stands out over the vamp's edge", "skin stays below the vamp's edge")
      .add("vamp_edge_kPa", "Pressure at its edge", f.vamp_edge_kPa, kPa, "whether the vamp cuts")
      .add("wall_give_mm", "Wall gives", f.wall_give_mm, mm, "furthest that the box's wall moves outward")
      .take();
}

/// One column of the toe grid.
struct ToeColumn {
  std::string name;
  Quantity quantity;
  std::function<Number(int)> value;
  const char* key;  ///< of one toe's number, its place in the list as {}
};

std::string hash_text(const std::string& hash) { return hash.empty() ? "not given" : hash; }

}  // namespace

std::string position_words(const std::string& position) {
  if (position == "full-pointe-two") return "full pointe on two feet";
  if (position == "full-pointe-one") return "full pointe on this foot alone";
  if (position == "demi-pointe") return "demi-pointe";
  if (position == "demi-plie") return "demi-pli\u00e9";
  if (position == "on-box") return "on the box, without weight";
  if (position == "parallel") return "standing flat, feet parallel";
  if (position == "roll-down") return "rolling down";
  if (position == "all") return "every position";
  return position;
}

std::string heading(const Findings& f) {
  return fmt::format("{} foot, {}", f.side == foot::Side::left ? "LEFT" : "RIGHT", position_words(f.position));
}

std::string outcome(const Findings& f) {
  if (f.converged) return "converged";
  return f.reason.empty() ? "not converged" : fmt::format("not converged: {}", f.reason);
}

std::vector<Row> basis(const Findings& f) {
  std::vector<Row> rows;
  rows.push_back({"inputs.foot", "Foot", f.foot_name, "", ""});
  rows.push_back({"inputs.shoe", "Shoe", f.shoe_name, "", ""});
  rows.push_back({"inputs.load_N", "Load on this foot", text(f.load_N, newton),
                  f.mass_kg ? fmt::format("dancer of {}", text(*f.mass_kg, kg)) : "body mass not given", ""});
  rows.push_back({"inputs.friction", "Friction, skin on lining", text(f.friction, coefficient), "", ""});
  rows.push_back({"converged", "Solved", outcome(f), "", ""});
  if (f.converged)
    rows.push_back({"force_balance_error", "Force balance error",
                    fmt::format("{:.1e} of the load", f.force_balance_error), "", ""});
  rows.push_back({"version", "Version", fmt::format("aplomb {}", f.version), "", ""});
  rows.push_back({"inputs.hashes", "Inputs",
                  fmt::format("foot {}, shoe {}", hash_text(f.foot_hash), hash_text(f.shoe_hash)), "", ""});
  rows.push_back({"inputs.hashes", "Model",
                  fmt::format("template {}, constants {}", hash_text(f.template_hash), hash_text(f.constants_hash)), "",
                  ""});
  return rows;
}

std::vector<Section> sections(const Findings& f) {
  std::vector<Section> all;
  if (!f.converged) return all;
  // Where a foot held up in the mouth of the shoe would break the shank, or stand, says nothing of this shoe; what it
  // lacks in length does.
  std::vector<Section (*)(const Findings&)> makers{standing, load, pressure};
  if (f.goes_in) makers.insert(makers.end(), {shank, balance, on_the_ball});
  makers.push_back(cover);
  for (const auto make : makers) {
    if (Section section = make(f); !section.rows.empty()) all.push_back(std::move(section));
  }
  return all;
}

Grid toe_grid(const Findings& f) {
  Grid grid{"Toe by toe", {"Toe"}, {}};
  if (!f.converged) return grid;
  const std::vector<ToeColumn> columns = {
      {"squeeze", mm_signed, [&](int i) { return f.toes[i].squeeze_mm; }, "toes.{}.squeeze_mm"},
      {"load", percent, [&](int i) { return f.toes[i].load_share; }, "toes.{}.load_share"},
      {"peak", kPa, [&](int i) { return f.toes[i].peak_kPa; }, "toes.{}.peak_kPa"},
      {"overlap", mm, [&](int i) { return f.toes[i].overlap_mm; }, "toes.{}.overlap_mm"},
      {"bend", deg_signed, [&](int i) { return f.toes[i].bend_deg; }, "toes.{}.bend_deg"},
      {"sink", mm_signed, [&](int i) { return f.toes[i].sink_mm; }, "toes.{}.sink_mm"},
      {"toe room", mm_signed, [&](int i) { return f.toes[i].room_mm; }, "toes.{}.room_mm"},
      {"gap above", mm_signed, [&](int i) { return f.toes[i].gap_mm; }, "toes.{}.gap_mm"},
      {"crown gap", mm_signed, [&](int i) { return f.crown_gap_mm[i]; }, "crown_gap_mm.{}"},
      {"vamp cover", mm_signed, [&](int i) { return f.vamp_cover_toe_mm[i]; }, "vamp_cover_toes_mm.{}"}};
  for (const ToeFindings& toe : f.toes) grid.rows.push_back({toe.name});
  if (f.doubts) grid.doubts.assign(grid.rows.size(), {""});
  for (const ToeColumn& column : columns) {
    bool any = false;
    for (int i = 0; i < foot::toe_count; ++i) any = any || column.value(i).has_value();
    if (!any) continue;
    grid.columns.push_back(column.name);
    for (int i = 0; i < foot::toe_count; ++i) {
      const Number value = column.value(i);
      grid.rows[i].push_back(value ? text(*value, column.quantity) : "-");
      if (f.doubts)
        grid.doubts[i].push_back(value ? doubt_text(f, fmt::format(fmt::runtime(column.key), i), column.quantity) : "");
    }
  }
  if (grid.columns.size() == 1) grid.rows.clear(), grid.doubts.clear();
  return grid;
}

Grid heights_grid(std::string title, const std::vector<findings::HeightFinding>& heights) {
  Grid grid{
      std::move(title),
      {"Heel height", "on the floor", "heel slack", "sole off the foot", "from the heel", "toe joint", "ankle", "peak"},
      {}};
  const auto words = [](const std::string& on_floor) -> std::string {
    if (on_floor == "platform") return "platform";
    if (on_floor == "edge") return "its edge";
    return on_floor == "box" ? "side of the box" : "whole sole";
  };
  for (const findings::HeightFinding& h : heights)
    grid.rows.push_back({text(h.heel_height_mm, mm), words(h.on_floor), text(h.heel_slack_mm, mm_signed),
                         text(h.shank_gap_mm, mm), text(h.shank_gap_from_heel_mm, mm), text(h.mtp_extension_deg, deg),
                         text(h.ankle_moment_Nm, Nm_signed), text(h.peak_kPa, kPa)});
  return grid;
}

Grid way_down_grid(const Findings& f) {
  const bool there = f.converged && f.way_down;
  return heights_grid("On the way down", there ? *f.way_down : std::vector<findings::HeightFinding>{});
}

Grid region_grid(const Findings& f) {
  Grid grid{"Pressure by region", {"Region", "peak", "mean", "loaded skin"}, {}};
  if (!f.converged) return grid;
  for (const findings::RegionPressure& region : f.regions) {
    if (region.area_mm2 <= 0) continue;
    std::string name = region.region;
    std::replace(name.begin(), name.end(), '_', ' ');
    grid.rows.push_back(
        {name, text(region.peak_kPa, kPa), text(region.mean_kPa, kPa), text(region.area_mm2, cm2_of_mm2)});
  }
  return grid;
}

std::vector<std::string> doubt_lines(const Findings& f) {
  std::vector<std::string> lines;
  if (!f.converged || !f.doubts) return lines;
  constexpr std::pair<const char*, const char*> told[] = {{"depth_mm", "depth"},
                                                          {"sink_mm", "sink"},
                                                          {"crowding_index", "crowding"},
                                                          {"load_share.platform", "the load on the platform"},
                                                          {"peak_kPa", "peak pressure"},
                                                          {"break_point.arch_fraction", "the break along the arch"},
                                                          {"plumb.margin_mm", "the margin to the edge"},
                                                          {"heel_slack_mm", "heel slack"},
                                                          {"toe_room_mm", "toe room"}};
  for (const auto& [key, name] : told)
    for (const findings::Doubt& band : f.doubts->bands)
      if (band.key == key && !band.words.empty()) lines.push_back(fmt::format("The band of {} {}.", name, band.words));
  lines.insert(lines.end(), f.doubts->notes.begin(), f.doubts->notes.end());
  return lines;
}

std::string doubt_words() {
  return "[low .. high]: 9 in 10 of the values that are plausible, given what the card leaves open of the foot and the "
         "constants that are guesses; the number before it is of the likeliest foot and the constants as they are.";
}

std::vector<std::string> cautions() {
  return {
      "An estimate to talk over and to narrow the choice, never a clearance to dance on pointe.",
      "The fitter, the teacher, dance-medicine clinicians and local rules decide.",
      "Stop and ask for help on numbness, colour change, nail bleeding, local bone pain or pain behind the ankle.",
  };
}

}  // namespace aplomb::report
