// The slice as a drawing in its plane: millimetres on a sheet, outlines on it, a ruler.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "place.h"
#include "screen.h"
#include "slices.h"
#include "widgets.h"

namespace aplomb::viewer {

/// Drawing in millimetres to window pixels.
struct Sheet {
  ViewRect rect;
  geometry::Vec2 middle = geometry::Vec2::Zero();
  double mm_per_px = 1;
  ImVec2 operator()(const geometry::Vec2& p) const {
    return {rect.x + 0.5f * rect.w + static_cast<float>((p.x() - middle.x()) / mm_per_px),
            rect.y + 0.5f * rect.h - static_cast<float>((p.y() - middle.y()) / mm_per_px)};
  }
  geometry::Vec2 back(const ImVec2& p) const {
    return middle + mm_per_px * geometry::Vec2(p.x - rect.x - 0.5f * rect.w, -(p.y - rect.y - 0.5f * rect.h));
  }
};

/// A point of the room in the plane, from its origin.
geometry::Vec2 flat(const Slice& slice, const geometry::Vec3& p);

/// With all of the slice on it.
Sheet fit(const Slice& slice, const ViewRect& rect);
/// A line every 10 mm, 50 where it is small.
void draw_grid(ImDrawList& draw, const Sheet& sheet);

/// Skin, box, sole and upper as far as the plane meets them, and which is which at the lower edge of `room`.
void draw_outlines(Ui& ui, ImDrawList& draw, const Sheet& sheet, const Slice& slice, const ViewRect& room);

/// Drag from point to point; the length stays until the next drag, or until something else is cut. `here` is a length
/// of nothing on this slice.
void ruler(Ui& ui, Screen& screen, ImDrawList& draw, const Sheet& sheet, Measured here);

}  // namespace aplomb::viewer
