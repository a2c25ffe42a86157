// Layers in series with the tissue, by region of the skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "layers.h"

#include <string>

namespace aplomb::stance {

namespace {

using geometry::Vec3;
using shoe::PadRegion;

constexpr double tip_behind_mm = 4;    // toe-tip padding reaches so far behind the bone's tip [G]
constexpr double head_radius_mm = 12;  // padding under a metatarsal head, about its centre in plan [G]

bool is_ball(foot::Region region) {
  return region == foot::Region::ball_medial || region == foot::Region::ball_middle ||
         region == foot::Region::ball_lateral;
}

bool lies_on(PadRegion pad, const foot::ContactPoint& at, const contact::SkinPoint& point, const foot::Foot& foot) {
  const int toe = static_cast<int>(at.region);
  const bool on_toe = toe < foot::toe_count;
  switch (pad) {
    case PadRegion::toes:
      return on_toe;
    case PadRegion::toe_tips:
      return on_toe && point.position_rest.x() >
                           foot.landmarks.at("bonetip" + std::to_string(toe + 1)).position_F.x() - tip_behind_mm;
    case PadRegion::ball:
      return is_ball(at.region);
    case PadRegion::metatarsal_heads:
      if (!is_ball(at.region) || point.normal_rest.z() > -0.3) return false;
      for (int k = 1; k <= foot::toe_count; ++k) {
        const Vec3 d = point.position_rest - foot.landmarks.at("MThead" + std::to_string(k)).position_F;
        if (d.head<2>().norm() < head_radius_mm) return true;
      }
      return false;
    case PadRegion::heel:
      return at.region == foot::Region::heel;
    case PadRegion::count:
      break;
  }
  return false;
}

bool present(const shoe::SoftLayer& layer) { return layer.thickness_mm > 0; }
contact::Layer contact_layer(const shoe::SoftLayer& layer) { return {layer.modulus_MPa, layer.thickness_mm}; }

}  // namespace

void lay_on(contact::Problem& problem, const foot::Foot& foot, const shoe::Layers& layers) {
  for (std::size_t i = 0; i < problem.points.size(); ++i) {
    contact::SkinPoint& point = problem.points[i];
    const foot::ContactPoint& at = foot.contact_points[i];
    const auto toe = static_cast<std::size_t>(at.region);
    if (toe < layers.tape.size() && present(layers.tape[toe])) point.over.push_back(contact_layer(layers.tape[toe]));
    for (int k = 0; k < shoe::pad_region_count; ++k) {
      const shoe::SoftLayer& pad = layers.padding[static_cast<std::size_t>(k)];
      if (present(pad) && lies_on(static_cast<PadRegion>(k), at, point, foot)) point.over.push_back(contact_layer(pad));
    }
    if (present(layers.tights)) point.over.push_back(contact_layer(layers.tights));
    // The lining rubs on the outermost layer: sideways all of them give in series. A foam's shear modulus is about half
    // its M [G].
    double give = 1 / point.shear_stiffness_MPa_per_mm;
    for (const contact::Layer& layer : point.over) give += layer.thickness_mm / (layer.modulus_MPa / 2);
    point.shear_stiffness_MPa_per_mm = 1 / give;
  }
  for (std::size_t k = 0; k < problem.pairs.size() && k < layers.spacer.size(); ++k) {
    std::vector<contact::Layer>& between = problem.pairs[k].between;
    if (present(layers.tape[k])) between.push_back(contact_layer(layers.tape[k]));
    if (present(layers.spacer[k])) between.push_back(contact_layer(layers.spacer[k]));
    if (present(layers.tape[k + 1])) between.push_back(contact_layer(layers.tape[k + 1]));
  }
}

}  // namespace aplomb::stance
