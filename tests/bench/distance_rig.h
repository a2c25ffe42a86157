// Places near the box's inside, where contact asks, and the inside as a mesh; made once for all benches of distances.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <random>
#include <vector>

#include "aplomb/geometry/mesh.h"
#include "aplomb/shoe/meshes.h"
#include "sample.h"

namespace aplomb::bench {

struct DistanceRig {
  shoe::Shoe shoe;
  geometry::TriMesh cavity;
  std::vector<geometry::Vec3> points;  ///< within 3 mm of the surface
};

inline const DistanceRig& distance_rig() {
  static const DistanceRig rig = [] {
    DistanceRig out{.shoe = need(shoe::make_shoe(sample_shoe())), .cavity = {}, .points = {}};
    out.cavity = shoe::make_cavity(out.shoe);
    const auto box = geometry::bounds(out.cavity);
    std::mt19937 random(1);
    const auto uniform = [&](double from, double to) { return from + (to - from) * (random() / 4294967296.0); };
    while (out.points.size() < 4096) {
      geometry::SurfaceSample sample;
      const geometry::Vec3 x(uniform(box.min.x() - 3, box.max.x() + 3), uniform(box.min.y() - 3, box.max.y() + 3),
                             uniform(box.min.z() - 3, out.shoe.box.highest_cut_z()));
      if (out.shoe.box.sample(x, 3, sample) && std::abs(sample.gap_mm) <= 3) out.points.push_back(x);
    }
    return out;
  }();
  return rig;
}

}  // namespace aplomb::bench
