// Where a scene is seen in the window.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <imgui.h>

#include "aplomb/report/camera.h"

namespace aplomb::viewer {

/// A piece of the window that shows a scene.
struct ViewRect {
  float x = 0, y = 0, w = 0, h = 0;
  bool holds(const ImVec2& p) const { return p.x >= x && p.x < x + w && p.y >= y && p.y < y + h; }
};

/// Points of the room to window pixels.
struct Place {
  ViewRect rect;
  report::Camera camera;
  ImVec2 operator()(const geometry::Vec3& p) const {
    const geometry::Vec2 at = camera.project(p);
    return {rect.x + static_cast<float>(at.x()), rect.y + static_cast<float>(at.y())};
  }
};

}  // namespace aplomb::viewer
