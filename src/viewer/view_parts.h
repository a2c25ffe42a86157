// What the view of a seat is put together from; view_area.cpp does.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <vector>

#include "marks.h"
#include "place.h"
#include "screen.h"
#include "widgets.h"

namespace aplomb::viewer {

/// Lines on map and bar, kPa; the figures are said in the hover words of the bar.
inline const std::vector<double> limit_lines_kPa{100, 200, 350};

/// How the scene is drawn: what is seen of it, coloured how, cut where. `scale_end`: of the colours, in their own unit.
report::DrawOptions draw_options(const Look& look, const findings::Scene& scene, const report::Camera& camera,
                                 double scale_end);

/// What the bar says of those colours.
BarWords bar_words(const Look& look, double scale_end);

/// Outlines of the slice over the scene, where there is one.
void draw_slice(ImDrawList& draw, const Place& place, const findings::Scene& scene, const Look& look);

/// Turning, moving, coming nearer, picking. The last ImGui item is the view's.
void take_hand(Screen& screen, int seat, const Place& place, const std::shared_ptr<const Frame>& shown,
               foot::Side side);

/// What stands in the view's place, or over it, when there is no map of the numbers as they are.
void say_state(Ui& ui, ImDrawList& draw, const Screen& screen, const SeatView& seat, const ViewRect& rect, int index);

}  // namespace aplomb::viewer
