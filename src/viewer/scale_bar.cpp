// The scale bar: a round length, as long as it is in the picture.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "marks.h"

namespace aplomb::viewer {

void draw_scale(Ui& ui, ImDrawList& draw, const Place& place, bool inches) {
  const double unit_mm = inches ? 25.4 : 1;
  const double room = 0.3 * place.rect.w * place.camera.mm_per_px / unit_mm;
  double length = 0;
  for (const double candidate : {0.05, 0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0})
    if (candidate <= room) length = candidate;
  if (length == 0) return;
  const auto px = static_cast<float>(length * unit_mm / place.camera.mm_per_px);
  if (place.rect.h < ui.theme.px(110)) return;
  const float x = place.rect.x + ui.theme.px(16), y = place.rect.y + place.rect.h - ui.theme.px(16);
  draw.AddLine({x, y}, {x + px, y}, ink::text, 1.5f);
  draw.AddLine({x, y - 4}, {x, y + 4}, ink::text, 1.5f);
  draw.AddLine({x + px, y - 4}, {x + px, y + 4}, ink::text, 1.5f);
  const std::string words = fmt::format("{:g} {}", length, inches ? "in" : "mm");
  draw.AddText(ui.theme.small, ui.theme.small->FontSize, {x, y - ui.theme.px(20)}, ink::text, words.c_str());
  ui.note({.id = "scale", .kind = "scale bar", .x = x, .y = y, .w = px, .h = 1, .text = words});
}

}  // namespace aplomb::viewer
