// Where the eye is: turned round a point, with a parallel projection so that the ruler holds everywhere.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/foot/foot.h"
#include "aplomb/report/camera.h"

namespace aplomb::viewer {

enum class StandardView { front, inner_side, outer_side, under, above };

struct Orbit {
  double turn_deg = -35;  ///< about the vertical; 0 looks from the front (+x), + turns the eye to the inner side
  double rise_deg = 12;   ///< of the eye over the floor; -90 from under the platform
  geometry::Vec3 target = geometry::Vec3::Zero();
  double mm_per_px = 0;  ///< 0: not framed yet

  bool operator==(const Orbit&) const = default;
};

/// The camera for a picture of this size. `side` decides which way the inner side lies.
report::Camera camera_of(const Orbit& orbit, foot::Side side, double width_px, double height_px);

/// A drag by pixels turns; the eye stays between straight above and straight below.
void turn(Orbit& orbit, double dx_px, double dy_px);
/// A drag by pixels moves what is looked at along.
void pan(Orbit& orbit, foot::Side side, double dx_px, double dy_px);
/// > 1 comes nearer; what is under (x, y) stays there.
void zoom(Orbit& orbit, foot::Side side, double factor, double x_px, double y_px, double width_px, double height_px);
void look_from(Orbit& orbit, StandardView view);
/// Makes `extent` fill the picture.
void frame(Orbit& orbit, foot::Side side, const report::Extent& extent, double width_px, double height_px);

}  // namespace aplomb::viewer
