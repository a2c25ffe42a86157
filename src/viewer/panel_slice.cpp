// The slice beside the view: where its plane stands and how it is tilted, and its drawing.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lengths.h"
#include "panels.h"
#include "slice_sheet.h"

namespace aplomb::viewer {

namespace {

void tilt(Ui& ui, Look& look, bool across) {
  const double low = -most_tilt_deg, high = most_tilt_deg;
  ui.words("slice.tilt.words", fmt::format("tilted by {:.0f} deg", look.slice_tilt_deg), ui.theme.small);
  ImGui::SetNextItemWidth(ImGui::GetContentRegionAvail().x - ui.theme.px(70));
  ImGui::PushStyleVar(ImGuiStyleVar_FrameBorderSize, 1);
  if (ImGui::SliderScalar("##tilt", ImGuiDataType_Double, &look.slice_tilt_deg, &low, &high, "",
                          ImGuiSliderFlags_AlwaysClamp))
    look.slice_tilt_deg = std::round(look.slice_tilt_deg);
  ImGui::PopStyleVar();
  ui.note_last({.id = "slice.tilt", .kind = "slider", .value = look.slice_tilt_deg, .unit = "deg"});
  ui.explain(across ? "Tilts the plane: + lifts its front edge." : "Turns the plane: + takes its front edge inward.");
  ImGui::SameLine();
  if (ui.button("slice.level", "Level", "No tilt.")) look.slice_tilt_deg = 0;
}

}  // namespace

void slice_panel(Ui& ui, Screen& screen) {
  Look& look = screen.document.look;
  const std::shared_ptr<const Frame> shown =
      screen.seats[static_cast<std::size_t>(screen.chosen_seat())].frame(look.step);
  if (shown == nullptr) return;
  Slice slice = cut(shown->scene, look.slice, look.slice_mm, look.slice_tilt_deg);
  // As seen from where the eye is: from under the platform what is right from above is left.
  const report::Camera camera = camera_of(look.orbit, shown->scene.side, 100, 100);
  const bool mirrored = camera.right_S().dot(slice.right) < 0;
  if (mirrored) slice.right = -slice.right;
  const bool across = look.slice == SliceAxis::across;
  ui.words(
      "slice.words",
      fmt::format("{} {}", length_words(look.slice_mm, look.inches), across ? "over the floor" : "to the inner side"),
      ui.theme.small);
  ImGui::SetNextItemWidth(ImGui::GetContentRegionAvail().x);
  const double low = slice.low_mm, high = slice.high_mm;
  ImGui::PushStyleVar(ImGuiStyleVar_FrameBorderSize, 1);
  ImGui::SliderScalar("##slice", ImGuiDataType_Double, &look.slice_mm, &low, &high, "", ImGuiSliderFlags_AlwaysClamp);
  ImGui::PopStyleVar();
  ui.note_last({.id = "slice.at", .kind = "slider", .value = look.slice_mm, .unit = "mm"});
  tilt(ui, look, across);
  const ImVec2 at = ImGui::GetCursorScreenPos(), room = ImGui::GetContentRegionAvail();
  if (room.x > 20 && room.y > 20) {
    ImGui::InvisibleButton("slice.sheet", room);
    ui.note_last({.id = "slice.sheet", .kind = "drawing"});
    ui.explain("Outlines as they stand; a line every 10 mm (50 where it is small). Drag to measure.");
    const float legend = ui.theme.px(28);
    const Sheet sheet = fit(slice, {at.x, at.y, room.x, std::max(10.0f, room.y - legend)});
    ImDrawList& draw = *ImGui::GetWindowDrawList();
    draw.PushClipRect(at, {at.x + room.x, at.y + room.y}, true);
    draw_grid(draw, sheet);
    draw_outlines(ui, draw, sheet, slice, {at.x, at.y, room.x, room.y});
    ruler(ui, screen, draw, sheet, {{}, shown, look.slice, look.slice_mm, look.slice_tilt_deg, mirrored});
    draw.PopClipRect();
  }
}

}  // namespace aplomb::viewer
