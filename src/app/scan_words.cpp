// SPDX-License-Identifier: GPL-3.0-or-later
#include "scan_words.h"

#include <fmt/format.h>

#include <cmath>

namespace aplomb::app {

namespace {

const char* said_or_found(bool said) { return said ? "said" : "found"; }

const char* side_word(foot::Side side) { return side == foot::Side::left ? "left" : "right"; }

const char* load_word(foot::Load load) {
  return load == foot::Load::none ? "without weight" : load == foot::Load::full ? "under all her weight" : "standing";
}

io::Json direction(const geometry::Vec3& v) { return {v.x(), v.y(), v.z()}; }

/// A side for which no foot was found has no score.
io::Json score(double mm) { return mm > 0 && mm < 1e3 ? io::Json(mm) : io::Json(nullptr); }

}  // namespace

std::vector<std::string> scan_notes(const scan::Found& found) {
  std::vector<std::string> notes;
  notes.push_back(fmt::format(
      "Scan: {} points{}; a {} foot ({}{}), in {} ({}), {} ({}), leg cut at {:.0f} mm{}{}{}.", found.points_in_file,
      found.points_in_file > found.points_read ? fmt::format(", thinned to {}", found.points_read) : "",
      side_word(found.side), said_or_found(found.side_said),
      found.side_said || score(found.side_score_right).is_null() || score(found.side_score_left).is_null()
          ? ""
          : fmt::format(": a right one lies {:.1f} mm off, a left one {:.1f}", found.side_score_right,
                        found.side_score_left),
      scan::unit_names[static_cast<int>(found.unit)], said_or_found(found.unit_said), load_word(found.load),
      said_or_found(found.load_said), found.cut_height_mm, found.floor ? ", floor taken away" : "",
      found.parts > 1 ? fmt::format(", {} other things left out", found.parts - 1) : "",
      found.sole ? "" : ", without its sole"));
  notes.push_back(fmt::format(
      "Scan against the fitted skin: {:.2f} mm in the mean, {:.2f} mm rms, 95 % within {:.2f} mm; noise {:.2f} mm; it "
      "shows "
      "{:.0f} % of the foot below the cut. What it does not show is estimated, with wider bands.",
      found.surface_mean_mm, found.surface_rms_mm, found.surface_95_mm, found.noise_mm, 100 * found.seen_share));
  for (const scan::Disagreement& d : found.disagreements)
    notes.push_back(fmt::format(
        "{}: the card says {:.1f}, the scan shows {:.1f}, {:.1f} SD apart. The scan's was taken; measure again.", d.key,
        d.card, d.scan, std::abs(d.sds)));
  if (found.toes_fused)
    notes.push_back("The scan shows no gaps between the toes: where one ends and the next begins is estimated.");
  return notes;
}

io::Json scan_json(const scan::Found& found) {
  io::Json json;
  json["unit"] = scan::unit_names[static_cast<int>(found.unit)];
  json["load"] = foot::load_names[static_cast<int>(found.load)];
  json["said"] = io::Json::array();
  for (const auto& [name, said] :
       {std::pair("side", found.side_said), {"unit", found.unit_said}, {"load", found.load_said}})
    if (said) json["said"].push_back(name);
  json["side_scores_mm"] = {{"right", score(found.side_score_right)}, {"left", score(found.side_score_left)}};
  json["up"] = direction(found.up);
  json["forward"] = direction(found.forward);
  json["floor"] = found.floor;
  json["other_parts"] = found.parts - 1;
  json["sole"] = found.sole;
  json["toes_fused"] = found.toes_fused;
  json["cut_height_mm"] = found.cut_height_mm;
  json["points_in_file"] = found.points_in_file;
  json["points_read"] = found.points_read;
  json["points_used"] = found.points_used;
  json["noise_mm"] = found.noise_mm;
  json["misfit_mm"] = found.misfit_mm;
  json["seen_share"] = found.seen_share;
  json["disagreements"] = io::Json::array();
  for (const scan::Disagreement& d : found.disagreements)
    json["disagreements"].push_back({{"key", d.key}, {"card", d.card}, {"scan", d.scan}, {"sds", d.sds}});
  json["scan_to_skin_mm"] = {
      {"mean", found.surface_mean_mm}, {"rms", found.surface_rms_mm}, {"p95", found.surface_95_mm}};
  json["skin_to_scan_mm"] = {{"mean", found.back_mean_mm}, {"rms", found.back_rms_mm}, {"p95", found.back_95_mm}};
  return json;
}

report::Residuals residuals_of(const scan::ScanFit& fit) {
  report::Residuals out{fit.skin_F, fit.gap_mm, {}, scan_notes(fit.found)};
  if (fit.found.side == foot::Side::left) {
    for (geometry::Vec3& p : out.skin_F.vertices) p.y() = -p.y();
    for (auto& face : out.skin_F.faces) std::swap(face[1], face[2]);
  }
  out.line = fmt::format("mean {:.2f} mm off, 95 % within {:.2f} mm; {:.0f} % of the foot below the cut is shown",
                         fit.found.surface_mean_mm, fit.found.surface_95_mm, 100 * fit.found.seen_share);
  return out;
}

}  // namespace aplomb::app
