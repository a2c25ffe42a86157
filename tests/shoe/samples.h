// The invented sample shoes, and random ones, for tests.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <catch2/catch.hpp>
#include <optional>
#include <random>
#include <string>

#include "aplomb/shoe/shoe.h"

namespace aplomb::shoe::test {

inline ShoeParameters sample_parameters(const std::string& name) {
  const auto parameters = read_shoe(std::string(APLOMB_SOURCE_DIR) + "/meshes/shoes/" + name + ".toml");
  if (!parameters) FAIL(io::to_line(parameters.error()));
  return *parameters;
}

inline Shoe sample_shoe(const std::string& name) {
  const auto shoe = make_shoe(sample_parameters(name));
  if (!shoe) FAIL(io::to_line(shoe.error()));
  return *shoe;
}

/// The `index`-th of a fixed sequence of random shoes, over the whole space of sensible shapes: children's to large
/// adults', thin to deep, straight cones to parallel boxes, unequal wings. Draws that contradict themselves are drawn
/// again.
inline Shoe random_shoe(int index) {
  std::mt19937 random(1000 + index);
  const auto uniform = [&](double from, double to) {
    // Written out, because std distributions differ between libraries and the sequence is to stay.
    return from + (to - from) * (static_cast<double>(random()) / 4294967296.0);
  };
  while (true) {
    ShoeParameters p;
    p.inner_length_mm = uniform(170, 290);
    p.ball_breadth_mm = p.inner_length_mm * uniform(0.31, 0.41);
    p.ball_height_mm = p.inner_length_mm * uniform(0.22, 0.31);
    p.platform_breadth_mm = p.ball_breadth_mm * uniform(0.32, 0.75);
    p.crown_height_mm = p.ball_breadth_mm * uniform(0.38, 0.65);
    p.platform_height_mm = p.crown_height_mm * uniform(0.35, 0.8);
    p.platform_tilt_deg = uniform(-6, 12);
    p.platform_thickness_mm = uniform(2, 9);
    p.wall_thickness_mm = uniform(1, 4.5);
    p.edge_radius_mm = uniform(1, 8);
    p.plan_taper = uniform(0, 1);
    p.profile_taper = uniform(0, 1);
    p.squareness = uniform(2, 4);
    p.sole_flatness = uniform(0, 1);
    p.wing_medial_mm = p.ball_height_mm * uniform(0.8, 1.4);
    p.wing_lateral_mm = p.ball_height_mm * uniform(0.8, 1.4);
    p.cut = p.inner_length_mm > 230 ? Cut::left : Cut::right;
    p.vamp_length_mm = p.ball_height_mm * uniform(0.6, 1.1);
    p.throat = uniform(0, 1) < 0.5 ? Throat::round : Throat::v;
    const double nan = std::numeric_limits<double>::quiet_NaN();
    p.cap_length_mm = p.sole_edge_mm = p.heel_seat_breadth_mm = p.back_seam_height_mm = p.shank_length_mm = nan;
    fill_proportional(p);
    if (const auto shoe = make_shoe(p)) return *shoe;
  }
}

}  // namespace aplomb::shoe::test
