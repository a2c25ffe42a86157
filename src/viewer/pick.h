// What is under the pointer.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>

#include "aplomb/findings/findings.h"
#include "aplomb/report/camera.h"

namespace aplomb::viewer {

struct Pick {
  geometry::Vec3 at = geometry::Vec3::Zero();
  std::string region, bone;  ///< in plain words
  double pressure_kPa = 0;
  double gap_mm = 0;  ///< findings::beyond_gap_mm where nothing is near
  double crowding_mm = 0;
  double depth_mm = 0;  ///< from skin to the bone's line, as solved
};

/// The skin nearest to the eye at a place in the picture, pixels from its top left corner; what lies before the cut is
/// looked through.
std::optional<Pick> pick(const findings::Scene& scene, const report::Camera& camera, double x_px, double y_px);

}  // namespace aplomb::viewer
