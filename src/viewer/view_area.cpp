// One camera for both seats: what the hand does to one, the other does too.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "view_area.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/report/colour.h"
#include "aplomb/report/rows.h"
#include "marks.h"
#include "slices.h"

namespace aplomb::viewer {

using geometry::Vec3;

namespace {

/// Ends of the scales that do not follow from the peak, mm.
constexpr double gap_scale_mm = 6, crowding_scale_mm = 4;
/// Lines on map and bar, kPa; the figures are said in the hover words of the bar.
const std::vector<double> limit_lines_kPa{100, 200, 350};

report::CutPlane toward_eye(const report::Camera& camera) {
  // From the side half of the box goes, from below the platform does.
  const Vec3 inside(0, 0, 12);
  return {-camera.forward_S, -camera.forward_S.dot(inside)};
}

std::optional<report::CutPlane> cut_plane(const Look& look, const findings::Scene& scene,
                                          const report::Camera& camera) {
  if (look.box != BoxLook::cut_away) return std::nullopt;
  if (look.slice == SliceAxis::none) return toward_eye(camera);
  const Slice slice = plane_of(scene, look.slice, look.slice_mm, look.slice_tilt_deg);
  const Vec3 normal = slice.normal.dot(camera.forward_S) < 0 ? slice.normal : Vec3(-slice.normal);
  return report::CutPlane{normal, normal.dot(slice.origin)};
}

report::DrawOptions draw_options(const Look& look, const findings::Scene& scene, const report::Camera& camera,
                                 double scale_end) {
  report::DrawOptions options;
  options.scale_end_kPa = scale_end;
  if (look.skin == SkinLook::gap) options.map = report::SkinMap::gap;
  if (look.skin == SkinLook::difference) options.map = report::SkinMap::difference;
  if (look.skin == SkinLook::pressure && look.lines && !look.client) options.lines_kPa = limit_lines_kPa;
  options.bones = look.bones;
  options.upper = look.upper;
  options.sole = look.sole;
  options.shell = look.box == BoxLook::hidden     ? report::ShellLook::hidden
                  : look.box == BoxLook::cut_away ? report::ShellLook::cut_away
                                                  : report::ShellLook::see_through;
  options.cut = cut_plane(look, scene, camera);
  return options;
}

/// Of lengths: in inches when asked, the same colours to the same ends.
BarWords length_bar(const Look& look, const char* what, double low_mm, double high_mm, double step_mm, bool two_sided) {
  if (!look.inches)
    return {.title = std::string("mm ") + what,
            .low = low_mm,
            .high = high_mm,
            .step = step_mm,
            .two_sided = two_sided,
            .unit = "mm"};
  constexpr double mm = 1 / 25.4;
  return {.title = std::string("in ") + what,
          .low = low_mm * mm,
          .high = high_mm * mm,
          .step = step_mm / 40,
          .decimals = 3,
          .two_sided = two_sided,
          .unit = "in"};
}

BarWords bar_words(const Look& look, double scale_end) {
  if (look.skin == SkinLook::gap) {
    BarWords bar = length_bar(look, "to the box: + clear, - pressed", -scale_end, scale_end, 2, true);
    bar.hover = "Where the skin is clear of the box, and how deep it is pressed in.";
    return bar;
  }
  if (look.skin == SkinLook::crowding) {
    BarWords bar = length_bar(look, "pressed by the next toe", 0, scale_end, 1, false);
    bar.hover = "How deep each toe is pressed by its neighbour.";
    return bar;
  }
  BarWords bar{.title = "kPa, at the top and over",
               .high = scale_end,
               .step = report::pressure_scale_step_kPa(scale_end),
               .unit = "kPa"};
  bar.hover = "Pressure on the skin. What is pressed more than the top of the bar has the colour of the top.";
  if (look.skin == SkinLook::difference) {
    bar.title = "kPa more (+) or less (-)";
    bar.low = -scale_end, bar.step = scale_end / 2, bar.two_sided = true;
    bar.hover = "Pressure less that of the other view, or less that of before the last change.";
  } else if (look.client) {
    bar.title = "darker: pressed more";
    bar.step = scale_end, bar.plain = true;
  } else if (look.lines) {
    bar.lines = limit_lines_kPa;
    bar.hover +=
        fmt::format(" The lines on bar and skin are at {} kPa, to tell places apart: they are no limits of safety.",
                    fmt::join(limit_lines_kPa, ", "));
  }
  return bar;
}

void outline(ImDrawList& draw, const Place& place, const std::vector<geometry::Polyline>& lines, ImU32 colour,
             float width) {
  std::vector<ImVec2> points;
  for (const geometry::Polyline& line : lines) {
    points.clear();
    for (const Vec3& p : line.points) points.push_back(place(p));
    draw.AddPolyline(points.data(), static_cast<int>(points.size()), colour, line.closed ? ImDrawFlags_Closed : 0,
                     width);
  }
}

void draw_slice(ImDrawList& draw, const Place& place, const findings::Scene& scene, const Look& look) {
  if (look.slice == SliceAxis::none) return;
  const Slice slice = cut(scene, look.slice, look.slice_mm, look.slice_tilt_deg);
  outline(draw, place, slice.shell, IM_COL32(70, 95, 125, 255), 1.5f);
  outline(draw, place, slice.sole, IM_COL32(130, 105, 80, 255), 1.5f);
  outline(draw, place, slice.skin, IM_COL32(150, 50, 30, 255), 2);
}

/// Turning, moving, coming nearer, picking. The last ImGui item is the view's.
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

void say(Ui& ui, ImDrawList& draw, const ViewRect& rect, const std::string& id, const std::string& words, bool problem,
         float at) {
  ImFont* font = ui.theme.title;
  const float wrap = std::min(rect.w - 6 * ui.theme.unit, ui.theme.px(460));
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, wrap, words.c_str());
  const ImVec2 low{rect.x + 0.5f * (rect.w - size.x), rect.y + at * rect.h - 0.5f * size.y};
  const float pad = 1.5f * ui.theme.unit;
  draw.AddRectFilled({low.x - pad, low.y - pad}, {low.x + size.x + pad, low.y + size.y + pad},
                     problem ? ink::soft_alarm : IM_COL32(251, 250, 248, 235), 6);
  draw.AddText(font, font->FontSize, low, problem ? ink::alarm : ink::text, words.c_str(), nullptr, wrap);
  ui.note({.id = id, .kind = "text", .x = low.x, .y = low.y, .w = size.x, .h = size.y, .text = words});
}

/// What stands in the view's place, or over it, when there is no map of the numbers as they are.
void say_state(Ui& ui, ImDrawList& draw, const Screen& screen, const SeatView& seat, const ViewRect& rect, int index) {
  const std::string id = fmt::format("view.{}.state", index);
  if (!seat.current) {
    if (seat.solved && seat.solved->shown())
      return say(ui, draw, rect, id,
                 screen.cancelled ? "Numbers have changed: not solved" : "Numbers have changed: solving", false, 0.9f);
    return say(ui, draw, rect, id, screen.cancelled ? "Not solved" : "Finding where the foot comes to rest", false,
               0.5f);
  }
  if (seat.solved->error) return say(ui, draw, rect, id, error_words(*seat.solved->error), true, 0.5f);
  const Look& look = screen.document.look;
  if (seat.solved->shown() && look.skin == SkinLook::difference && !look.client && !seat.compared())
    say(ui, draw, rect, id,
        seat.comes ? "Solving what it is compared with"
                   : "Nothing to compare with: change a number, or look side by side",
        false, 0.9f);
  if (!seat.solved->findings.converged)
    say(ui, draw, rect, id, "Not converged, so no map: " + seat.solved->findings.reason, true, 0.5f);
}

}  // namespace

io::Result<ViewArea> ViewArea::make(const std::filesystem::path& shader_folder) {
  ViewArea area;
  for (int seat = 0; seat < 2; ++seat) {
    auto stage = Stage::make(shader_folder);
    if (!stage) return tl::unexpected(stage.error());
    area.stages_.push_back(std::move(*stage));
  }
  return area;
}

std::shared_ptr<const report::PreparedScene> ViewArea::skin_of(const SeatView& seat,
                                                               const std::shared_ptr<const Frame>& frame,
                                                               const Look& seen, int index, double& scale_end) {
  const SkinLook look = seen.skin;
  if (look == SkinLook::gap) scale_end = gap_scale_mm;
  if (look == SkinLook::crowding) scale_end = crowding_scale_mm;
  if (look == SkinLook::pressure) return frame->prepared;
  const std::shared_ptr<const Frame> reference =
      look == SkinLook::difference ? frame_of(seat.reference, seen.step) : nullptr;
  const findings::Scene& scene = frame->scene;
  SkinCache& cache = skins_[static_cast<std::size_t>(index)];
  if (cache.frame != frame || cache.skin != look || cache.reference != reference) {
    std::vector<double> values = look == SkinLook::gap ? scene.gap_mm : scene.crowding_mm;
    if (look == SkinLook::difference) {
      values.assign(scene.skin.vertices.size(), 0.0);
      double largest = 0;
      for (std::size_t v = 0; reference && v < values.size(); ++v) {
        values[v] = scene.pressure_kPa[v] - reference->scene.pressure_kPa[v];
        largest = std::max(largest, std::abs(values[v]));
      }
      cache.scale_end = report::pressure_scale_end_kPa(largest);
    }
    auto made = report::PreparedScene::make(scene, values);
    cache.frame = frame, cache.skin = look, cache.reference = reference;
    cache.prepared = made ? std::make_shared<const report::PreparedScene>(std::move(*made)) : nullptr;
  }
  if (look == SkinLook::difference) scale_end = cache.scale_end;
  return cache.prepared;
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
