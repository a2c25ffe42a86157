// A place on the skin that was picked, followed while what stands there is solved anew.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <optional>

#include "aplomb/report/camera.h"
#include "pick.h"
#include "solve_job.h"

namespace aplomb::viewer {

struct Picked {
  Pick what;
  int seat = 0;
  std::shared_ptr<const Frame> frame{};  ///< that it was read from
  stance::Position position = stance::Position::full_pointe_two;
  report::Camera camera{};  ///< through which the pointer was seen
  double x_px = 0, y_px = 0;
};

/// The same place of the picture, read from another frame: nothing where the foot stands in another position, or where
/// there is no skin now.
std::optional<Picked> picked_again(const Picked& before, std::shared_ptr<const Frame> frame, stance::Position position);

}  // namespace aplomb::viewer
