// An invented result to lay out: numbers chosen to be told apart, not computed, proof of nothing.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/findings/findings.h"

namespace aplomb::report::test {

inline findings::Findings sample_findings() {
  findings::Findings f;
  f.side = foot::Side::right;
  f.position = "full-pointe-two";
  f.foot_name = "sample.toml";
  f.shoe_name = "tapered.toml";
  f.foot_hash = "0123456789abcdef";
  f.shoe_hash = "fedcba9876543210";
  f.template_hash = "00112233445566aa";
  f.constants_hash = "bb00112233445566";
  f.version = "0.1.0";
  f.mass_kg = 52;
  f.load_N = 255;
  f.friction = 0.35;
  f.converged = true;
  f.force_balance_error = 3.2e-7;
  f.solve_ms = 212.5;
  f.depth_mm = -3.25;
  f.tip_clearance_seated_mm = 4.75;
  f.sink_mm = 5.5;
  f.slide_mm = 3.5;
  f.tissue_mm = 1.25;
  f.curl_mm = 0.75;
  f.crowding_index = 0.062;
  f.load_share = findings::LoadShare{31.5, 38.25, 14.75, 7.5, 8};
  f.load_kind = findings::LoadKind{75.75, 16.25, 8};
  const char* const names[5] = {"hallux", "second", "third", "fourth", "little"};
  for (int i = 0; i < 5; ++i) {
    findings::ToeFindings& toe = f.toes[i];
    toe.name = names[i];
    toe.squeeze_mm = 1.5 - 0.25 * i;
    toe.load_share = 20.0 - 3 * i;
    toe.peak_kPa = 310.0 - 41 * i;
    toe.overlap_mm = i == 4 ? 2.25 : 0;
    toe.bend_deg = 6.5 + i;
    toe.gap_mm = 0.5 - 0.25 * i;
    toe.sink_mm = 5.5;
    toe.slide_mm = 3.5;
    toe.tissue_mm = 1.25;
    toe.curl_mm = 0.75;
    toe.tip_clearance_seated_mm = 4.75;
    f.vamp_cover_toe_mm[i] = 12.0 - i;
    f.crown_gap_mm[i] = i - 1.5;
  }
  f.peak_kPa = 310;
  f.contact_area_mm2 = 9150;
  f.regions = {{"hallux", 310, 120, 1400}, {"ball_medial", 180, 66, 2100}, {"heel", 0, 0, 0}};
  f.break_point = {true, 41.5, -6.25, -38.5, 0.52, 24.0, false};
  f.plumb = {7.25, -2.5, 6.5, 3.75, -1.25, true};
  f.ankle_moment_Nm = 4.6;
  f.plantarflexion_used_deg = 81;
  f.plantarflexion_left_deg = 4;
  f.side_roll_deg = -1.75;
  f.twist_deg = 2.25;
  f.wing_cover_medial_mm = 6.5;
  f.wing_cover_lateral_mm = -3.25;
  f.vamp_cover_mm = 8;
  f.wall_give_mm = 0.75;
  f.friction_band = std::vector<findings::Findings::Band>{{"depth_mm", -3.25, -1.75}, {"peak_kPa", 310, 355}};
  f.limits = {"Squeezed tissue does not bulge sideways; nothing depends on time; layers act in series only.",
              "The shank bends in one plane; its twist cannot be shown.",
              "Peak pressures may be about 12 % off; constants marked as guesses are guesses."};
  return f;
}

/// With bands: one of an expansion, one of plain quantiles.
inline findings::Findings doubtful_findings() {
  findings::Findings f = sample_findings();
  findings::Doubts d;
  d.seed = 1, d.runs = 128, d.not_converged = 2, d.judged = 126, d.gets_over = 120, d.inputs = 48;
  d.foot_components = 8, d.foot_share = 0.972;
  findings::Doubt depth, peak;
  depth.key = "depth_mm";
  depth.low = -5.5, depth.median = -3, depth.high = -1.25;
  depth.by_expansion = true, depth.q2 = 0.97, depth.low_error = depth.high_error = 0.05, depth.runs = 126;
  depth.quick_minus_full = 0.01;
  depth.sources = {{"lining_friction", "friction of skin on the lining", true, 0.5, 0.55}};
  depth.words = "comes mostly from friction of skin on the lining, a guess (55 %)";
  peak.key = "peak_kPa";
  peak.low = 250, peak.median = 300, peak.high = 390;
  peak.q2 = 0.8, peak.low_error = 8, peak.high_error = 15, peak.runs = 120, peak.absent = 6;
  d.bands = {depth, peak};
  d.notes = {"2 of 128 runs found no place of rest that balances; the bands are of the others."};
  f.doubts = d;
  return f;
}

/// With gradients: one number of the shoe, one of the foot, one that has none.
inline findings::Findings steered_findings() {
  using findings::Gradient;
  findings::Findings f = sample_findings();
  f.gradients = {
      {Gradient::Of::shoe,
       "ball_breadth_mm",
       80,
       {{"depth_mm", 0.5}, {"peak_kPa", -4}, {"crowding_index", -0.002}},
       ""},
      {Gradient::Of::foot, "toes.second.length_mm", 38, {{"depth_mm", -0.75}, {"peak_kPa", 2}}, ""},
      {Gradient::Of::stand, "load_N", 250, {{"depth_mm", 0.01}, {"peak_kPa", 0.25}}, ""},
      {Gradient::Of::shoe, "wear_hours", 0, {}, "it cannot move both ways: -1e-05 h is not between 0 and 200 h"}};
  return f;
}

/// The same run, given up.
inline findings::Findings stopped_findings() {
  findings::Findings f = sample_findings();
  f.converged = false;
  f.reason = "the load step fell below 1/64 at 160 N";
  return f;
}

}  // namespace aplomb::report::test
