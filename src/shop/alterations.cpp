// Changes in order of reach: size first, then what is ordered, then the bench, then what is laid in.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/alterations.h"

#include <fmt/format.h>

#include <algorithm>

#include "aplomb/shoe/sizes.h"
#include "aplomb/shop/solver.h"

namespace aplomb::shop {

const char* const reach_names[4] = {"size", "order", "bench", "fitting"};

namespace {

using shoe::PadRegion;
using P = shoe::ShoeParameters;
using Apply = std::function<void(P&, double, foot::Side)>;

/// Another size of the same shoe. A shoe that cannot be made in that size is left as it is, which altered() refuses.
void regrade(P& p, double length_mm, double breadth_mm) {
  if (const auto graded = shoe::grade(p, length_mm, breadth_mm)) p = *graded;
}

Apply add(double P::*member, double sign) {
  return [member, sign](P& p, double by, foot::Side) { p.*member += sign * by; };
}

Apply wing(double P::*member, double sign) {
  return [member, sign](P& p, double by, foot::Side side) {
    p.*member += sign * by;
    if (p.wing_medial_mm != p.wing_lateral_mm) p.cut = side == foot::Side::right ? shoe::Cut::right : shoe::Cut::left;
  };
}

Apply wings(double sign) {
  return [sign](P& p, double by, foot::Side) { p.wing_medial_mm += sign * by, p.wing_lateral_mm += sign * by; };
}

Apply scale_shank(bool harder) {
  return [harder](P& p, double by, foot::Side) {
    const double factor = harder ? by : 1 / by;
    p.shank_EI_Nm2 *= factor;
    for (shoe::StiffnessPoint& point : p.shank_EI_table) point.EI_Nm2 *= factor;
  };
}

/// A longer vamp keeps its stiff cap; a shorter one cannot be shorter than that.
void vamp(P& p, double by, foot::Side) { p.vamp_length_mm += by; }
void shorter_vamp(P& p, double by, foot::Side) {
  p.vamp_length_mm -= by;
  p.cap_length_mm = std::min(p.cap_length_mm, p.vamp_length_mm);
}

void three_quarter(P& p, double by, foot::Side) {
  p.shank_length_mm = std::min(p.shank_length_mm, by * (p.inner_length_mm - p.sole_edge_mm));
}

/// Shaved at 0.35 to 0.5 of the length from the heel [G]. On pointe the foot is shorter than it stood and lies farther
/// back in the shoe, so that this is the heel side of the arch, where the shank is to break: solved, it breaks at 0.75
/// of the way along the arch; shaved nearer the heel it breaks at the arch's end or behind it.
/// What is bent in already stays so.
void shaved(P& p, double by, foot::Side) {
  const bool bent = p.break_zone_softening > 0;
  const double from = 0.35 * p.inner_length_mm, to = 0.5 * p.inner_length_mm;
  p.break_zone_from_mm = bent ? std::min(p.break_zone_from_mm, from) : from;
  p.break_zone_to_mm = bent ? std::max(p.break_zone_to_mm, to) : to;
  p.break_zone_softening = std::max(p.break_zone_softening, by);
}

Apply pad(PadRegion region) {
  return [region](P& p, double by, foot::Side) {
    shoe::SoftLayer& layer = p.layers.padding[static_cast<std::size_t>(region)];
    layer = {layer.thickness_mm + by, shoe::Layers::padding_modulus_MPa};
  };
}

Apply spacer(std::size_t gap) {
  return [gap](P& p, double by, foot::Side) { p.layers.spacer[gap] = {by, shoe::Layers::spacer_modulus_MPa}; };
}

Apply tape(std::size_t toe, double modulus_MPa) {
  return [toe, modulus_MPa](P& p, double by, foot::Side) { p.layers.tape[toe] = {by, modulus_MPa}; };
}

void shape_heel(P& p, double by, foot::Side) { p.heel_tuck_mm += by; }

std::vector<Change> make_changes() {
  using enum Reach;
  constexpr double cap_MPa = 2;  // a firm cap over one toe [G]; soft gel (0.1-0.4) is pressed flat there
  return {
      {"narrower",
       "mm",
       {1, 12},
       "a shoe {} mm narrower",
       "broader",
       size,
       [](P& p, double by, foot::Side) { regrade(p, p.inner_length_mm, p.ball_breadth_mm - by); }},
      {"broader",
       "mm",
       {1, 12},
       "a shoe {} mm broader",
       "narrower",
       size,
       [](P& p, double by, foot::Side) { regrade(p, p.inner_length_mm, p.ball_breadth_mm + by); }},
      {"shorter",
       "mm",
       {1, 20},
       "a shoe {} mm shorter",
       "longer",
       size,
       [](P& p, double by, foot::Side) { regrade(p, p.inner_length_mm - by, p.ball_breadth_mm); }},
      {"longer",
       "mm",
       {1, 20},
       "a shoe {} mm longer",
       "shorter",
       size,
       [](P& p, double by, foot::Side) { regrade(p, p.inner_length_mm + by, p.ball_breadth_mm); }},
      {"lateral_wing_higher",
       "mm",
       {1, 25},
       "a lateral wing {} mm longer",
       "lateral_wing_lower",
       order,
       wing(&P::wing_lateral_mm, 1)},
      {"lateral_wing_lower",
       "mm",
       {1, 25},
       "a lateral wing {} mm shorter",
       "lateral_wing_higher",
       order,
       wing(&P::wing_lateral_mm, -1)},
      {"medial_wing_higher",
       "mm",
       {1, 25},
       "a medial wing {} mm longer",
       "medial_wing_lower",
       order,
       wing(&P::wing_medial_mm, 1)},
      {"medial_wing_lower",
       "mm",
       {1, 25},
       "a medial wing {} mm shorter",
       "medial_wing_higher",
       order,
       wing(&P::wing_medial_mm, -1)},
      {"wings_higher", "mm", {1, 25}, "wings {} mm longer", "wings_lower", order, wings(1)},
      {"wings_lower", "mm", {1, 25}, "wings {} mm shorter", "wings_higher", order, wings(-1)},
      {"more_tapered",
       "share",
       {0.05, 1},
       "a more tapered box (taper {} more)",
       "more_parallel",
       order,
       [](P& p, double by, foot::Side) { p.plan_taper = std::min(1.0, p.plan_taper + by); }},
      {"more_parallel",
       "share",
       {0.05, 1},
       "a more parallel box (taper {} less)",
       "more_tapered",
       order,
       [](P& p, double by, foot::Side) { p.plan_taper = std::max(0.0, p.plan_taper - by); }},
      {"broader_platform",
       "mm",
       {1, 15},
       "a platform {} mm broader",
       "narrower_platform",
       order,
       add(&P::platform_breadth_mm, 1)},
      {"narrower_platform",
       "mm",
       {1, 15},
       "a platform {} mm narrower",
       "broader_platform",
       order,
       add(&P::platform_breadth_mm, -1)},
      {"lower_crown", "mm", {1, 12}, "a crown {} mm lower", "higher_crown", order, add(&P::crown_height_mm, -1)},
      {"higher_crown", "mm", {1, 12}, "a crown {} mm higher", "lower_crown", order, add(&P::crown_height_mm, 1)},
      {"longer_vamp", "mm", {1, 30}, "a vamp {} mm longer", "shorter_vamp", order, vamp},
      {"shorter_vamp", "mm", {1, 30}, "a vamp {} mm shorter", "longer_vamp", order, shorter_vamp},
      {"softer_shank", "factor", {1.05, 4}, "a shank {} times softer", "harder_shank", order, scale_shank(false)},
      {"harder_shank", "factor", {1.05, 4}, "a shank {} times harder", "softer_shank", order, scale_shank(true)},
      {"three_quarter_shank", "share", {0.4, 0.95}, "the shank cut to {} of its way", "", bench, three_quarter},
      {"shaved_shank",
       "share",
       {0.1, 0.9},
       "the shank shaved under the arch by {} of its stiffness",
       "",
       bench,
       shaved},
      {"heel_shaping", "mm", {2, 30}, "{} mm of cloth taken out at the back seam", "", bench, shape_heel},
      {"softened_wing_medial",
       "share",
       {0.1, 0.9},
       "the medial wing worked soft by {}",
       "",
       bench,
       [](P& p, double by, foot::Side) { p.wing_medial_softened = std::max(p.wing_medial_softened, by); }},
      {"softened_wing_lateral",
       "share",
       {0.1, 0.9},
       "the lateral wing worked soft by {}",
       "",
       bench,
       [](P& p, double by, foot::Side) { p.wing_lateral_softened = std::max(p.wing_lateral_softened, by); }},
      {"padding_toes", "mm", {0.5, 6}, "{} mm of padding round the toes", "", fitting, pad(PadRegion::toes)},
      {"padding_tips", "mm", {0.5, 8}, "{} mm of padding under the toe tips", "", fitting, pad(PadRegion::toe_tips)},
      {"padding_ball", "mm", {0.5, 5}, "{} mm of padding round the ball", "", fitting, pad(PadRegion::ball)},
      {"padding_heel", "mm", {0.5, 6}, "{} mm of padding at the heel", "", fitting, pad(PadRegion::heel)},
      {"cap_hallux", "mm", {0.5, 8}, "a cap of {} mm over the hallux", "", fitting, tape(0, cap_MPa)},
      {"spacer_hallux_second",
       "mm",
       {0.5, 8},
       "a spacer of {} mm between hallux and second toe",
       "",
       fitting,
       spacer(0)},
      {"spacer_fourth_little",
       "mm",
       {0.5, 8},
       "a spacer of {} mm between fourth and little toe",
       "",
       fitting,
       spacer(3)},
      {"tape_second",
       "mm",
       {0.1, 2},
       "{} mm of tape round the second toe",
       "",
       fitting,
       tape(1, shoe::Layers::tape_modulus_MPa)},
      {"tape_little",
       "mm",
       {0.1, 2},
       "{} mm of tape round the little toe",
       "",
       fitting,
       tape(4, shoe::Layers::tape_modulus_MPa)},
      {"ribbon_back",
       "mm",
       {2, 40},
       "ribbon and elastic sewn {} mm nearer the heel",
       "ribbon_forward",
       fitting,
       add(&P::ribbon_from_heel_mm, -1)},
      {"ribbon_forward",
       "mm",
       {2, 40},
       "ribbon and elastic sewn {} mm farther from the heel",
       "ribbon_back",
       fitting,
       add(&P::ribbon_from_heel_mm, 1)},
      {"elastic_tighter", "N", {1, 30}, "elastic {} N tighter", "elastic_looser", fitting, add(&P::elastic_N, 1)},
      {"elastic_looser", "N", {1, 30}, "elastic {} N looser", "elastic_tighter", fitting, add(&P::elastic_N, -1)},
      {"drawstring_tighter",
       "N",
       {1, 30},
       "drawstring {} N tighter",
       "drawstring_looser",
       fitting,
       add(&P::drawstring_N, 1)},
      {"drawstring_looser",
       "N",
       {1, 30},
       "drawstring {} N looser",
       "drawstring_tighter",
       fitting,
       add(&P::drawstring_N, -1)},
  };
}

}  // namespace

const std::vector<Change>& changes() {
  static const std::vector<Change> all = make_changes();
  return all;
}

const Change* change_named(std::string_view name) {
  const auto& all = changes();
  const auto found = std::find_if(all.begin(), all.end(), [&](const Change& c) { return c.name == name; });
  return found == all.end() ? nullptr : &*found;
}

std::string words(const Try& attempt) {
  const Change* change = change_named(attempt.change);
  return change == nullptr ? attempt.change : fmt::format(fmt::runtime(change->words), fmt::format("{:g}", attempt.by));
}

io::Result<shoe::ShoeParameters> altered(const shoe::ShoeParameters& shoe, const Try& attempt, foot::Side side) {
  shoe::ShoeParameters changed = shoe;
  change_named(attempt.change)->apply(changed, attempt.by, side);
  if (const auto good = shoe::check(changed); !good) return tl::unexpected(good.error());
  if (shoe_hash(changed) == shoe_hash(shoe))
    return io::fail({.field = attempt.change,
                     .message = fmt::format("{} changes nothing of this shoe", words(attempt)),
                     .remedy = "try another amount or another change"});
  return changed;
}

}  // namespace aplomb::shop
