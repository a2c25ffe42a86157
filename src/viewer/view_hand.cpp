// The hand on the view.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "view_parts.h"

namespace aplomb::viewer {

void take_hand(Screen& screen, int seat, const Place& place, const std::shared_ptr<const Frame>& shown,
               foot::Side side) {
  const ImGuiIO& io = ImGui::GetIO();
  Orbit& orbit = screen.document.look.orbit;
  const double x = io.MousePos.x - place.rect.x, y = io.MousePos.y - place.rect.y;
  if (ImGui::IsItemHovered() && io.MouseWheel != 0)
    zoom(orbit, side, std::pow(1.15, io.MouseWheel), x, y, place.rect.w, place.rect.h), screen.view_moving = true,
                                                                                        screen.framed_by_itself = false;
  if (ImGui::IsItemActive() && (io.MouseDelta.x != 0 || io.MouseDelta.y != 0)) {
    const bool moving = io.MouseDown[1] || io.MouseDown[2] || io.KeyShift;
    if (moving)
      pan(orbit, side, io.MouseDelta.x, io.MouseDelta.y), screen.framed_by_itself = false;
    else if (ImGui::IsMouseDragging(0, 3))
      turn(orbit, io.MouseDelta.x, io.MouseDelta.y);
    screen.view_moving = true;
  }
  const bool clicked = ImGui::IsItemHovered() && io.MouseReleased[0] && io.MouseDragMaxDistanceSqr[0] < 9;
  if (clicked && shown)
    screen.picked = picked_again({.what = {},
                                  .seat = seat,
                                  .position = screen.document.subject.position,
                                  .camera = place.camera,
                                  .x_px = x,
                                  .y_px = y},
                                 shown, screen.document.subject.position);
}

}  // namespace aplomb::viewer
