// Numbers beside a picture that are of another answer than the picture would be believed.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "picked.h"

namespace aplomb::viewer {

std::optional<Picked> picked_again(const Picked& before, std::shared_ptr<const Frame> frame,
                                   stance::Position position) {
  if (!frame || position != before.position) return std::nullopt;
  const auto what = pick(frame->scene, before.camera, before.x_px, before.y_px);
  if (!what) return std::nullopt;
  Picked now = before;
  now.what = *what;
  now.frame = std::move(frame);
  return now;
}

}  // namespace aplomb::viewer
