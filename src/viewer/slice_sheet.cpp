// A plane of the room laid flat.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "slice_sheet.h"

#include <algorithm>
#include <cmath>

namespace aplomb::viewer {

using geometry::Vec2;
using geometry::Vec3;

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

}  // namespace aplomb::viewer
