// Where a foot lies in a scan of unknown pose, size and side: many starts, few points.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/foot/shape.h"
#include "aplomb/io/progress.h"
#include "aplomb/scan/cloud.h"

namespace aplomb::scan {

/// x_F = scale * rotation * mirrored(p) + translation, onto the template (240 mm). Mirroring flips the scan's y.
struct Placement {
  bool mirrored = false;  ///< of a left foot
  double scale = 1;       ///< template mm per unit of the scan
  geometry::Mat3 rotation = geometry::Mat3::Identity();
  Vec3 translation = Vec3::Zero();
  double score_mm = 0;  ///< mean distance both ways, cut off at some 15 mm; lower is better
};

inline Vec3 mirrored(const Vec3& p, bool mirror) { return mirror ? Vec3(p.x(), -p.y(), p.z()) : p; }

/// The `keep` best placements of each side, best first. `cloud`: some 400 points, spread evenly, with normals.
std::vector<Placement> coarse_placements(const foot::ShapeModel& model, const Cloud& cloud, int keep, int threads);

}  // namespace aplomb::scan
