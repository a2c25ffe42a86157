// Stands with padding, tights, tape and spacers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "stands.h"

using namespace aplomb;
using namespace aplomb::stance;
using namespace aplomb::stance::test;
using shoe::Layers;
using shoe::PadRegion;

namespace {

ShoePtr padded(PadRegion region, double thickness_mm, double modulus_MPa = Layers::padding_modulus_MPa) {
  return make_shoe("tapered", [&](shoe::ShoeParameters& p) {
    p.layers.padding[static_cast<std::size_t>(region)] = {thickness_mm, modulus_MPa};
  });
}

/// Sideways distance between the tips of the big and the second toe.
double tips_apart_mm(const Stood& s) {
  const auto T = contact::pose(s.stance.problem->linkage, s.stance.rest().q).T_world_link;
  const foot::Foot& foot = *s.stance.foot;
  const auto tip = [&](int toe) {
    const foot::Landmark& mark = foot.landmarks.at("bonetip" + std::to_string(toe + 1));
    return geometry::Vec3(T[static_cast<std::size_t>(mark.bone)] * mark.position_F);
  };
  return tip(0).y() - tip(1).y();
}

}  // namespace

TEST_CASE("padding under the toe tips lifts the foot by no more than its thickness and eases the peak", "[layers]") {
  const Stood bare = stood(sample_foot(), make_shoe("tapered"));
  const Stood soft = stood(sample_foot(), padded(PadRegion::toe_tips, 3));
  CHECK(soft.findings.load_share->sum() == Approx(100).margin(0.1));
  const double lifted = *bare.findings.depth_mm - *soft.findings.depth_mm;
  CAPTURE(lifted, *bare.findings.peak_kPa, *soft.findings.peak_kPa);
  CHECK(lifted > 0.1);
  CHECK(lifted < 3);
  CHECK(*soft.findings.peak_kPa < *bare.findings.peak_kPa);
  // Padding as hard as wood is only a higher platform: it lifts more, and the tissue is pressed as before.
  const Stood hard = stood(sample_foot(), padded(PadRegion::toe_tips, 3, 50));
  CHECK(*bare.findings.depth_mm - *hard.findings.depth_mm > lifted);
}

TEST_CASE("a layer too thin to matter changes nothing", "[layers]") {
  const Stood bare = stood(sample_foot(), make_shoe("tapered"));
  const Stood thin = stood(sample_foot(), make_shoe("tapered", [](shoe::ShoeParameters& p) {
                             p.layers.tights = {1e-5, 1};
                           }));
  CHECK(*thin.findings.depth_mm == Approx(*bare.findings.depth_mm).margin(0.01));
  CHECK(thin.findings.load_share->platform == Approx(bare.findings.load_share->platform).margin(0.1));
}

TEST_CASE("tights take room all round the toes and the ball", "[layers]") {
  const Stood bare = stood(sample_foot(), make_shoe("tapered"));
  const Stood dressed = stood(sample_foot(), make_shoe("tapered", [](shoe::ShoeParameters& p) {
                                p.layers.tights = {0.6, Layers::tights_modulus_MPa};
                              }));
  CHECK(*dressed.findings.depth_mm < *bare.findings.depth_mm);
  CHECK(dressed.findings.load_share->sum() == Approx(100).margin(0.1));
}

TEST_CASE("a spacer keeps the big toe away from its neighbour", "[layers]") {
  const Stood bare = stood(sample_foot(), make_shoe("parallel"));
  const Stood spaced = stood(sample_foot(), make_shoe("parallel", [](shoe::ShoeParameters& p) {
                               p.layers.spacer[0] = {6, Layers::spacer_modulus_MPa};
                             }));
  CAPTURE(tips_apart_mm(bare), tips_apart_mm(spaced));
  CHECK(tips_apart_mm(spaced) > tips_apart_mm(bare) + 0.5);
  // The toes turn about their joints, and a spacer sits between joint and tip: the tips part by more than it is thick,
  // by no more than twice where it sits past the middle.
  CHECK(tips_apart_mm(spaced) < tips_apart_mm(bare) + 12);
}
