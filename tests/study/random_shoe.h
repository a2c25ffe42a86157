// Shoes drawn around a foot.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <limits>
#include <memory>
#include <random>

#include "aplomb/foot/foot.h"
#include "aplomb/shoe/shoe.h"

namespace aplomb::study::test {

/// A shoe somebody might try on this foot, or might by mistake; straight. Nullptr when its numbers make none.
inline std::shared_ptr<const shoe::Shoe> shoe_for(const foot::Foot& foot, std::mt19937& random) {
  const auto uniform = [&](double from, double to) {
    return from + (to - from) * (static_cast<double>(random()) / 4294967296.0);
  };
  shoe::ShoeParameters p;
  p.cut = shoe::Cut::straight;
  p.inner_length_mm = foot.length_mm + uniform(-4, 7);
  p.ball_breadth_mm = foot.breadth_mm * uniform(0.86, 1.1);
  p.ball_height_mm = p.inner_length_mm * uniform(0.24, 0.28);
  p.platform_breadth_mm = p.ball_breadth_mm * uniform(0.4, 0.6);
  p.crown_height_mm = p.ball_breadth_mm * uniform(0.44, 0.54);
  p.platform_height_mm = p.crown_height_mm * uniform(0.48, 0.62);
  p.platform_tilt_deg = uniform(0, 7);
  p.platform_thickness_mm = uniform(4, 8);
  p.wall_thickness_mm = uniform(2, 4);
  p.edge_radius_mm = uniform(2, 5);
  p.plan_taper = uniform(0.2, 1);
  p.profile_taper = uniform(0.4, 1);
  p.squareness = uniform(2.2, 3.2);
  p.sole_flatness = uniform(0.3, 0.9);
  p.wing_medial_mm = p.wing_lateral_mm = p.ball_height_mm * uniform(0.9, 1.25);
  p.vamp_length_mm = p.ball_height_mm * uniform(0.8, 1.05);
  p.throat = uniform(0, 1) < 0.5 ? shoe::Throat::round : shoe::Throat::v;
  p.shank_EI_Nm2 = uniform(0.03, 0.16);
  p.prebend_deg = uniform(0, 30);
  p.wear_hours = uniform(0, 16);
  p.moisture = uniform(0, 1);
  p.lining_friction = uniform(0.1, 0.7);
  p.drawstring_N = uniform(0, 15);
  p.elastic_N = uniform(3, 30);
  p.layers.tights.thickness_mm = uniform(0, 0.8);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  p.cap_length_mm = p.sole_edge_mm = p.heel_seat_breadth_mm = p.back_seam_height_mm = p.shank_length_mm = nan;
  shoe::fill_proportional(p);
  auto made = shoe::make_shoe(p);
  return made ? std::make_shared<const shoe::Shoe>(std::move(*made)) : nullptr;
}

}  // namespace aplomb::study::test
