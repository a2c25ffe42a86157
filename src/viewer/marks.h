// Drawn over the scene: load line, plumb line, centre of pressure, break and arch, colour bar, scale bar, side.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <string>

#include "aplomb/findings/findings.h"
#include "aplomb/report/scene_renderer.h"
#include "place.h"
#include "widgets.h"

namespace aplomb::viewer {

void draw_marks(Ui& ui, ImDrawList& draw, const Place& place, const findings::Scene& scene);

/// What a colour bar shows.
struct BarWords {
  std::string title;  ///< "kPa"
  double low = 0, high = 1, step = 0.5;
  int decimals = 0;
  bool two_sided = false;
  std::vector<double> lines{};
  bool plain = false;  ///< without numbers
  std::string unit{}, hover{};
};
/// Upright, numbers to its left, at the right edge of `rect`.
void draw_bar(Ui& ui, ImDrawList& draw, const ViewRect& rect, const BarWords& words);

/// A bar of a round length at the lower left.
void draw_scale(Ui& ui, ImDrawList& draw, const Place& place, bool inches);

/// "RIGHT" in a badge at the upper left.
void draw_badge(Ui& ui, ImDrawList& draw, const ViewRect& rect, foot::Side side, const std::string& id);

/// What is seen, under the badge, and what lies to the left and the right of the view.
void draw_caption(Ui& ui, ImDrawList& draw, const Place& place, const findings::Scene& scene,
                  const std::string& caption);

}  // namespace aplomb::viewer
