// Outlines are told apart by their dashes, not by colour alone, and named under the drawing.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <iterator>

#include "slice_sheet.h"

namespace aplomb::viewer {

using geometry::Vec3;

namespace {

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

}  // namespace

void draw_outlines(Ui& ui, ImDrawList& draw, const Sheet& sheet, const Slice& slice, const ViewRect& room) {
  const std::vector<geometry::Polyline>* outlines[] = {&slice.upper, &slice.sole, &slice.shell, &slice.skin};
  std::vector<const Stroke*> met;
  for (std::size_t k = 0; k < std::size(strokes); ++k) {
    draw_lines(draw, sheet, slice, *outlines[k], strokes[k]);
    if (!outlines[k]->empty()) met.insert(met.begin(), &strokes[k]);
  }
  draw_legend(ui, draw, room, met);
}

}  // namespace aplomb::viewer
