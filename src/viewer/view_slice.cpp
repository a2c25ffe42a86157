// The slice in the view, as outlines over the scene.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "slices.h"
#include "view_parts.h"

namespace aplomb::viewer {

using geometry::Vec3;

namespace {

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

}  // namespace

void draw_slice(ImDrawList& draw, const Place& place, const findings::Scene& scene, const Look& look) {
  if (look.slice == SliceAxis::none) return;
  const Slice slice = cut(scene, look.slice, look.slice_mm, look.slice_tilt_deg);
  outline(draw, place, slice.shell, IM_COL32(70, 95, 125, 255), 1.5f);
  outline(draw, place, slice.sole, IM_COL32(130, 105, 80, 255), 1.5f);
  outline(draw, place, slice.skin, IM_COL32(150, 50, 30, 255), 2);
}

}  // namespace aplomb::viewer
