// The slice as a drawing of its own, with a grid, a ruler to drag, and where the plane stands.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "lengths.h"
#include "panels.h"
#include "slices.h"

namespace aplomb::viewer {

using geometry::Vec2;
using geometry::Vec3;

namespace {

/// Drawing in millimetres to window pixels.
struct Sheet {
  ViewRect rect;
  Vec2 middle = Vec2::Zero();
  double mm_per_px = 1;
  ImVec2 operator()(const Vec2& p) const {
    return {rect.x + 0.5f * rect.w + static_cast<float>((p.x() - middle.x()) / mm_per_px),
            rect.y + 0.5f * rect.h - static_cast<float>((p.y() - middle.y()) / mm_per_px)};
  }
  Vec2 back(const ImVec2& p) const {
    return middle + mm_per_px * Vec2(p.x - rect.x - 0.5f * rect.w, -(p.y - rect.y - 0.5f * rect.h));
  }
};

Vec2 flat(const Slice& slice, const Vec3& p) {
  return {(p - slice.origin).dot(slice.right), (p - slice.origin).dot(slice.up)};
}

Sheet fit(const Slice& slice, const ViewRect& rect) {
  Vec2 low(1e9, 1e9), high(-1e9, -1e9);
  for (const auto* lines : {&slice.skin, &slice.shell, &slice.sole})
    for (const geometry::Polyline& line : *lines)
      for (const Vec3& p : line.points) low = low.cwiseMin(flat(slice, p)), high = high.cwiseMax(flat(slice, p));
  Sheet sheet{rect};
  if (low.x() > high.x()) return sheet;
  sheet.middle = 0.5 * (low + high);
  sheet.mm_per_px = std::max((high.x() - low.x() + 6) / rect.w, (high.y() - low.y() + 6) / rect.h);
  return sheet;
}

void draw_grid(ImDrawList& draw, const Sheet& sheet) {
  const double step = sheet.mm_per_px < 0.6 ? 10 : 50;
  const Vec2 low = sheet.back({sheet.rect.x, sheet.rect.y + sheet.rect.h}),
             high = sheet.back({sheet.rect.x + sheet.rect.w, sheet.rect.y});
  for (double x = std::ceil(low.x() / step) * step; x < high.x(); x += step)
    draw.AddLine(sheet({x, low.y()}), sheet({x, high.y()}), IM_COL32(232, 229, 223, 255));
  for (double y = std::ceil(low.y() / step) * step; y < high.y(); y += step)
    draw.AddLine(sheet({low.x(), y}), sheet({high.x(), y}), IM_COL32(232, 229, 223, 255));
}

/// How the outlines of one thing are drawn: told apart by their dashes, and named under the drawing.
struct Stroke {
  const char* name;
  ImU32 colour;
  float width;
  float dash_px, gap_px;  ///< no gap: a whole line
};
constexpr Stroke strokes[] = {{"upper", IM_COL32(150, 110, 100, 255), 1.5f, 2, 4},
                              {"sole", IM_COL32(130, 105, 80, 255), 1.5f, 8, 4},
                              {"box", IM_COL32(70, 95, 125, 255), 1.5f, 1, 0},
                              {"foot", IM_COL32(150, 50, 30, 255), 2.5f, 1, 0}};

void draw_dashes(ImDrawList& draw, const std::vector<ImVec2>& points, const Stroke& stroke) {
  const float period = stroke.dash_px + stroke.gap_px;
  float gone = 0;  // of a period
  for (std::size_t k = 1; k < points.size(); ++k) {
    const ImVec2 a = points[k - 1], b = points[k];
    const float length = std::hypot(b.x - a.x, b.y - a.y);
    const auto at = [&](float px) { return ImVec2(a.x + (b.x - a.x) * px / length, a.y + (b.y - a.y) * px / length); };
    for (float px = 0; px < length;) {
      const bool drawn = gone < stroke.dash_px;
      const float step = std::min((drawn ? stroke.dash_px : period) - gone, length - px);
      if (drawn) draw.AddLine(at(px), at(px + step), stroke.colour, stroke.width);
      px += std::max(step, 1e-3f);
      gone = std::fmod(gone + std::max(step, 1e-3f), period);
    }
  }
}

void draw_stroke(ImDrawList& draw, std::vector<ImVec2> points, bool closed, const Stroke& stroke) {
  if (closed && !points.empty()) points.push_back(points.front());
  if (stroke.gap_px > 0) return draw_dashes(draw, points, stroke);
  draw.AddPolyline(points.data(), static_cast<int>(points.size()), stroke.colour, 0, stroke.width);
}

void draw_lines(ImDrawList& draw, const Sheet& sheet, const Slice& slice, const std::vector<geometry::Polyline>& lines,
                const Stroke& stroke) {
  for (const geometry::Polyline& line : lines) {
    std::vector<ImVec2> points;
    for (const Vec3& p : line.points) points.push_back(sheet(flat(slice, p)));
    draw_stroke(draw, std::move(points), line.closed, stroke);
  }
}

/// Whose outline is which, at the lower edge: those that the plane meets.
void draw_legend(Ui& ui, ImDrawList& draw, const ViewRect& rect, const std::vector<const Stroke*>& met) {
  const float sample = ui.theme.px(24), pad = 0.5f * ui.theme.unit;
  const float y = rect.y + rect.h - ui.theme.px(14);
  float x = rect.x + pad;
  std::string names;
  for (const Stroke* stroke : met) {
    const ImVec2 size = ui.theme.small->CalcTextSizeA(ui.theme.small->FontSize, 1e9f, 0, stroke->name);
    draw.AddRectFilled({x - 2, y - size.y}, {x + sample + size.x + 2 * pad, y + size.y}, ink::paper);
    draw_stroke(draw, {{x, y}, {x + sample, y}}, false, *stroke);
    draw.AddText(ui.theme.small, ui.theme.small->FontSize, {x + sample + pad, y - 0.5f * size.y}, ink::text,
                 stroke->name);
    x += sample + size.x + 4 * pad;
    names += (names.empty() ? "" : ", ") + std::string(stroke->name);
  }
  ui.note({.id = "slice.legend", .kind = "text", .x = rect.x, .y = y, .w = x - rect.x, .h = 1, .text = names});
}

bool on_one_slice(const Measured& a, const Measured& b) {
  return a.frame == b.frame && a.axis == b.axis && a.mm == b.mm && a.tilt_deg == b.tilt_deg && a.mirrored == b.mirrored;
}

/// Drag from point to point; the length stays until the next drag, or until something else is cut. `here` is a length
/// of nothing on this slice.
void ruler(Ui& ui, Screen& screen, ImDrawList& draw, const Sheet& sheet, Measured here) {
  if (ImGui::IsItemActivated()) {
    here.ends.fill(sheet.back(ImGui::GetIO().MousePos));
    screen.measured = here;
  }
  if (screen.measured && !on_one_slice(*screen.measured, here)) screen.measured.reset();
  if (ImGui::IsItemActive() && screen.measured) screen.measured->ends[1] = sheet.back(ImGui::GetIO().MousePos);
  if (!screen.measured) return;
  const auto& [from, to] = screen.measured->ends;
  const double mm = (to - from).norm();
  if (mm < 0.05) return;
  const ImVec2 a = sheet(from), b = sheet(to);
  draw.AddLine(a, b, ink::mark, 2);
  draw.AddCircleFilled(a, 3, ink::mark), draw.AddCircleFilled(b, 3, ink::mark);
  const std::string words = length_words(mm, screen.document.look.inches);
  const ImVec2 at{0.5f * (a.x + b.x) + 6, 0.5f * (a.y + b.y) - 8};
  const ImVec2 size = ImGui::CalcTextSize(words.c_str());
  draw.AddRectFilled({at.x - 3, at.y - 1}, {at.x + size.x + 3, at.y + size.y + 1}, ink::paper, 3);
  draw.AddText(at, ink::mark, words.c_str());
  ui.note({.id = "slice.ruler",
           .kind = "ruler",
           .x = a.x,
           .y = a.y,
           .w = b.x - a.x,
           .h = b.y - a.y,
           .text = words,
           .value = mm,
           .unit = "mm"});
}

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
  const std::shared_ptr<const Frame> shown = screen.seats[0].frame(look.step);
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
    const std::vector<geometry::Polyline>* outlines[] = {&slice.upper, &slice.sole, &slice.shell, &slice.skin};
    std::vector<const Stroke*> met;
    for (std::size_t k = 0; k < std::size(strokes); ++k) {
      draw_lines(draw, sheet, slice, *outlines[k], strokes[k]);
      if (!outlines[k]->empty()) met.insert(met.begin(), &strokes[k]);
    }
    draw_legend(ui, draw, {at.x, at.y, room.x, room.y}, met);
    ruler(ui, screen, draw, sheet, {{}, shown, look.slice, look.slice_mm, look.slice_tilt_deg, mirrored});
    draw.PopClipRect();
  }
}

}  // namespace aplomb::viewer
