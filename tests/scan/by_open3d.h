// A library's way of finding a foot in a scan, as a yardstick: Open3D's global registration (FPFH features, RANSAC) and
// point-to-plane ICP of the mean template.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "synthetic.h"

namespace aplomb::scan::testing {

/// The template at the true length, laid onto the scan; vertices in the scan's frame, mm. The library is helped: unit,
/// side and foot length are told to it.
std::vector<Vec3> by_open3d(const Synthetic& truth, const Recipe& recipe);

/// The same in the frame of the true foot; a left foot was turned about after mirroring.
std::vector<Vec3> in_true_frame(std::vector<Vec3> placed, const Synthetic& truth, bool left);

/// Of the skin that was seen, in the frame of the true foot, from its true surface; CGAL is the ruler. Mean, mm.
double mean_distance(const std::vector<Vec3>& vertices, const Synthetic& truth);

}  // namespace aplomb::scan::testing
