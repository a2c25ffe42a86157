// One camera for both seats: what the hand does to one, the other does too.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "view_area.h"

#include <fmt/format.h>

#include <algorithm>

#include "aplomb/report/colour.h"
#include "aplomb/report/rows.h"
#include "view_parts.h"

namespace aplomb::viewer {

io::Result<ViewArea> ViewArea::make(const std::filesystem::path& shader_folder) {
  ViewArea area;
  for (int seat = 0; seat < 2; ++seat) {
    auto stage = Stage::make(shader_folder);
    if (!stage) return tl::unexpected(stage.error());
    area.stages_.push_back(std::move(*stage));
  }
  return area;
}

void ViewArea::draw_seat(Ui& ui, Screen& screen, int seat, const ViewRect& rect) {
  if (rect.w < 20 || rect.h < 20) return;
  Look& look = screen.document.look;
  // The client's page speaks of pressure: whatever was looked at before is not on it.
  Look seen = look;
  if (look.client) seen.skin = SkinLook::pressure, seen.slice = SliceAxis::none, seen.bones = false;
  const SeatView& view = screen.seats[static_cast<std::size_t>(seat)];
  const std::shared_ptr<const Frame> shown = view.frame(look.step);
  const foot::Side side = shown != nullptr ? shown->scene.side : foot::Side::right;
  ImGui::SetCursorScreenPos({rect.x, rect.y});
  ImGui::InvisibleButton(
      fmt::format("view.{}", seat).c_str(), {rect.w, rect.h},
      ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonRight | ImGuiButtonFlags_MouseButtonMiddle);
  ui.note_last({.id = fmt::format("view.{}", seat), .kind = "view"});
  ImDrawList& draw = *ImGui::GetWindowDrawList();
  draw.PushClipRect({rect.x, rect.y}, {rect.x + rect.w, rect.y + rect.h}, true);
  if (shown != nullptr && (screen.asked.frame_all || look.orbit.mm_per_px <= 0) &&
      seat == (look.client ? screen.chosen_seat() : 0)) {
    screen.framed_by_itself = true;
    frame(look.orbit, side, report::extent_of(shown->scene), rect.w, rect.h);
    screen.asked.frame_all = false;
  }
  const Place before{rect, camera_of(look.orbit, side, rect.w, rect.h)};
  take_hand(screen, seat, before, shown, side);
  if (shown != nullptr) {
    const Place place{rect, camera_of(look.orbit, side, rect.w, rect.h)};
    double scale_end = report::pressure_scale_end_kPa(view.solved->scale_kPa);
    if (screen.document.subject.side_by_side)  // one scale for both, or colours could not be compared
      for (const SeatView& other : screen.seats)
        if (other.solved) scale_end = std::max(scale_end, report::pressure_scale_end_kPa(other.solved->scale_kPa));
    Stage& stage = stages_[static_cast<std::size_t>(seat)];
    stage.set(skin_of(view, shown, seen, seat, scale_end));
    const report::DrawOptions options = draw_options(seen, shown->scene, place.camera, scale_end);
    const unsigned texture = stage.texture(place.camera, options, screen.view_moving || screen.dragging);
    if (texture != 0)
      draw.AddImage(reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(texture)), {rect.x, rect.y},
                    {rect.x + rect.w, rect.y + rect.h}, {0, 1}, {1, 0});
    draw_slice(draw, place, shown->scene, seen);
    if (look.marks && !look.client) draw_marks(ui, draw, place, shown->scene);
    if (screen.picked && screen.picked->seat == seat) {
      const ImVec2 at = place(screen.picked->what.at);
      draw.AddCircle(at, ui.theme.px(7), ink::white, 0, 4);
      draw.AddCircle(at, ui.theme.px(7), ink::text, 0, 1.8f);
    }
    // Left and right are words of feet; views are told apart as first and second.
    std::string caption = report::position_words(stance::name(view.solved->position));
    if (!shown->title.empty()) caption += ", " + shown->title;
    if (screen.document.subject.side_by_side && !look.client) {
      const bool tries = !screen.document.subject.trying.empty();
      caption =
          (seat == 0 ? (tries ? "First, as it is: " : "First: ") : (tries ? "Second, tried: " : "Second: ")) + caption;
    }
    draw_caption(ui, draw, place, shown->scene, ui.in_shown_units(caption));
    draw_scale(ui, draw, place, look.inches);
    if (seen.skin != SkinLook::difference || view.compared()) draw_bar(ui, draw, rect, bar_words(seen, scale_end));
  }
  if (shown == nullptr) draw.AddRectFilled({rect.x, rect.y}, {rect.x + rect.w, rect.y + rect.h}, ink::stage);
  // Whose foot it is stays said where there is nothing to be seen of it.
  if (view.solved && view.solved->foot)
    draw_badge(ui, draw, rect, view.solved->foot->side, seat == 0 ? "side" : fmt::format("side.{}", seat));
  say_state(ui, draw, screen, view, rect, seat);
  draw.PopClipRect();
}

void ViewArea::draw(Ui& ui, Screen& screen, const ViewRect& rect) {
  // The client sees one foot in one shoe: the one whose numbers are shown.
  if (screen.document.look.client) return draw_seat(ui, screen, screen.chosen_seat(), rect);
  const int seats = screen.document.subject.seats();
  const float gap = seats > 1 ? 2 : 0, width = (rect.w - gap) / static_cast<float>(seats);
  for (int seat = 0; seat < seats; ++seat)
    draw_seat(ui, screen, seat, {rect.x + static_cast<float>(seat) * (width + gap), rect.y, width, rect.h});
}

}  // namespace aplomb::viewer
