// The hand on the view.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "view_parts.h"

namespace aplomb::viewer {

namespace {

void pick_there(Screen& screen, int seat, const Place& place, const std::shared_ptr<const Frame>& shown, double x_px,
                double y_px) {
  const stance::Position position = screen.document.subject.position;
  screen.picked =
      picked_again({.what = {}, .seat = seat, .position = position, .camera = place.camera, .x_px = x_px, .y_px = y_px},
                   shown, position);
}

/// What the keys ask of the view that they go to: what is in its middle is picked, the place goes on from there.
void take_keys_of_view(Screen& screen, int seat, const Place& place, const std::shared_ptr<const Frame>& shown,
                       foot::Side side) {
  Asked& asked = screen.asked;
  if (asked.pan_by_x != 0 || asked.pan_by_y != 0) {
    pan(screen.document.look.orbit, side, asked.pan_by_x, asked.pan_by_y);
    screen.framed_by_itself = false;
  }
  if (!shown) return;
  if (asked.pick_middle) pick_there(screen, seat, place, shown, 0.5 * place.rect.w, 0.5 * place.rect.h);
  if (screen.picked && screen.picked->seat == seat && (asked.pick_by_x != 0 || asked.pick_by_y != 0)) {
    const geometry::Vec2 now = place.camera.project(screen.picked->what.at);
    const std::optional<Picked> before = screen.picked;
    pick_there(screen, seat, place, shown, now.x() + asked.pick_by_x, now.y() + asked.pick_by_y);
    if (!screen.picked) screen.picked = before;  // at the edge of the skin it stays
  }
}

}  // namespace

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
  if (clicked && shown) pick_there(screen, seat, place, shown, x, y);
  if (seat == screen.chosen_seat()) take_keys_of_view(screen, seat, place, shown, side);
}

}  // namespace aplomb::viewer
