// Depth and sink: where the metatarsal heads are, and what let them down.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "aplomb/shoe/shoe.h"
#include "parts.h"

namespace aplomb::findings {

using U = stance::FootUnknowns;

namespace {

/// Heights of one toe over the inner platform face. Head = column + tip: the identity behind sink's three parts.
struct ToeColumn {
  double head_mm = 0;         ///< MTP centre over the platform
  double column_mm = 0;       ///< S.z distance MTP centre to distal bone tip
  double clearance_mm = 0;    ///< unloaded tip over the platform, >= 0
  double indentation_mm = 0;  ///< unloaded tip through the platform, >= 0
};

ToeColumn toe_column(const PosedFoot& posed, int toe) {
  const double platform = posed.stance->shoe->box.platform_z();
  const double head = posed.joint_centre_S(numbered("MTP", toe)).z() - platform;
  const double bone_tip = posed.landmark_S(numbered("bonetip", toe)).z() - platform;
  const double free = bone_tip - tip_layer_mm(*posed.stance->foot, toe);
  return {head, head - bone_tip, std::max(0.0, free), std::max(0.0, -free)};
}

}  // namespace

void find_bend(const PosedFoot& seated, const PosedFoot& rest, Findings& out) {
  for (int k = 0; k < foot::toe_count; ++k)
    out.toes[k].bend_deg = (rest.state->q[U::ip + k] - seated.state->q[U::ip + k]) * geometry::deg_per_rad;
}

void find_sink(const PosedFoot& seated, const PosedFoot& rest, Findings& out) {
  find_bend(seated, rest, out);
  const stance::Stance& stance = *rest.stance;
  double sink = 0, slide = 0, tissue = 0, curl = 0, nearest = 1e9;
  for (int k = 0; k < foot::toe_count; ++k) {
    const ToeColumn before = toe_column(seated, k), after = toe_column(rest, k);
    ToeFindings& toe = out.toes[k];
    toe.slide_mm = before.clearance_mm - after.clearance_mm;
    toe.tissue_mm = after.indentation_mm - before.indentation_mm;
    toe.curl_mm = before.column_mm - after.column_mm;
    toe.sink_mm = before.head_mm - after.head_mm;
    toe.tip_clearance_seated_mm = before.clearance_mm;
    sink += *toe.sink_mm / foot::toe_count;
    slide += *toe.slide_mm / foot::toe_count;
    tissue += *toe.tissue_mm / foot::toe_count;
    curl += *toe.curl_mm / foot::toe_count;
    nearest = std::min(nearest, before.clearance_mm);
  }
  out.sink_mm = sink;
  out.slide_mm = slide;
  out.tissue_mm = tissue;
  out.curl_mm = curl;
  out.tip_clearance_seated_mm = nearest;

  // Depth: the foot as it rests, with its toes laid straight and unloaded. How far the first tip would then reach
  // through the platform is how far the heads stand below where straight toes would just touch.
  Eigen::VectorXd q = rest.state->q;
  for (int k = 0; k < foot::toe_count; ++k) {
    const int mtp = foot::joint_index(*stance.foot, numbered("MTP", k));
    q[U::mtp_flexion + k] = stance.foot->joints[static_cast<std::size_t>(mtp)].straight_deg * geometry::rad_per_deg;
    q[U::ip + k] = 0;
  }
  contact::Equilibrium straight;
  straight.q = q;
  const PosedFoot laid = pose_foot(stance, straight);
  double lowest = 1e9;
  for (int k = 0; k < foot::toe_count; ++k) {
    const ToeColumn toe = toe_column(laid, k);
    lowest = std::min(lowest, toe.clearance_mm - toe.indentation_mm);
  }
  out.depth_mm = -lowest;
}

}  // namespace aplomb::findings
