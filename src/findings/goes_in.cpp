// Does the foot go in: is the heel in its seat once the box has stopped the forefoot.
//
// Judged on the length of the foot as it stands. On pointe the arch draws the heel forward by some centimetres, so the
// heel finds room in a shoe that is far too short; she would not get it on, nor come down in it. What pointe does show
// is how deep toes and walls let the forefoot into the box when it is pushed: with the second metatarsal head there,
// does the rest of the standing foot end inside the heel seat?
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shoe/shoe.h"
#include "parts.h"

namespace aplomb::findings {

namespace {

constexpr double push_N = 150;      // with which a foot is pushed into a shoe [G]
constexpr double hopeless_mm = 25;  // longer than the shoe by more than curling toes and pressed tissue can take up [G]
constexpr double heel_over_mm = 15;  // standing, behind its seat: the cloth behind the heel gives no more [G]
constexpr double heel_out_mm = 6;    // past this the heel is out of its seat and the upper does not take it in [G]

/// Height of the second metatarsal head over the inner platform.
double head_mm(const PosedFoot& posed) {
  return posed.joint_centre_S("MTP2").z() - posed.stance->shoe->box.platform_z();
}

}  // namespace

double heel_past_seat_mm(const PosedFoot& seated, const PosedFoot& rest) {
  const foot::Foot& foot = *rest.stance->foot;
  const auto mtp = static_cast<std::size_t>(foot::joint_index(foot, "MTP2"));
  const double behind_head = foot.joints[mtp].centre_F.x() - foot.landmarks.at("heel_back").position_F.x();
  // At the push, between the two states next to it on the way from seat to full load.
  double low_N = seated.state->load_N, low = head_mm(seated);
  double high_N = rest.state->load_N, high = head_mm(rest);
  for (const contact::Waypoint& at : rest.stance->path.way) {
    contact::Equilibrium state;
    state.q = at.q;
    const double head = head_mm(pose_foot(*rest.stance, state));
    if (at.load_N < push_N) {
      low_N = at.load_N, low = head;
    } else {
      high_N = at.load_N, high = head;
      break;
    }
  }
  const double share = high_N > low_N ? std::clamp((push_N - low_N) / (high_N - low_N), 0.0, 1.0) : 1.0;
  const double head = (1 - share) * low + share * high;
  return head + behind_head - rest.stance->shoe->parameters.inner_length_mm;
}

void find_goes_in_standing(Findings& out) { out.goes_in = *out.heel_slack_mm >= -heel_over_mm; }

void find_goes_in(const PosedFoot& seated, const PosedFoot& rest, Findings& out) {
  const bool box_carries = out.load_share && out.load_share->shank_heel < 50;
  out.goes_in = !(box_carries && heel_past_seat_mm(seated, rest) > heel_out_mm);
}

bool hopelessly_long(const stance::Stance& stance) {
  return stance.foot->length_mm > stance.shoe->parameters.inner_length_mm + hopeless_mm;
}

}  // namespace aplomb::findings
