// The colour bar: the colours of the skin with their numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "aplomb/report/colour.h"
#include "chip.h"
#include "marks.h"

namespace aplomb::viewer {

void draw_bar(Ui& ui, ImDrawList& draw, const ViewRect& rect, const BarWords& words) {
  const Theme& theme = ui.theme;
  const float width = theme.px(14), top = rect.y + theme.px(36), x = rect.x + rect.w - theme.px(16) - width;
  const float height = std::min(theme.px(260), rect.h - theme.px(130));
  if (height < theme.px(60)) return;
  constexpr int bands = 128;
  const auto at = [&](double value) {
    return top + height * static_cast<float>((words.high - value) / (words.high - words.low));
  };
  for (int k = 0; k < bands; ++k) {
    const double f = (k + 0.5) / bands;
    const report::Colour c = words.two_sided ? report::two_sided_colour(1 - 2 * f) : report::pressure_colour(1 - f);
    const auto byte = [](double part) { return static_cast<int>(std::lround(255 * part)); };
    draw.AddRectFilled({x, top + height * k / bands}, {x + width, top + height * (k + 1) / bands + 0.5f},
                       IM_COL32(byte(c.r), byte(c.g), byte(c.b), 255));
  }
  draw.AddRect({x, top}, {x + width, top + height}, ink::line);
  ImFont* font = theme.small;
  for (double value = std::ceil(words.low / words.step - 1e-9) * words.step; value <= words.high * (1 + 1e-9);
       value += words.step) {
    if (words.plain) break;
    const std::string text = shown_number(value, words.decimals, words.two_sided);
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, 0, text.c_str());
    draw.AddLine({x - 4, at(value)}, {x, at(value)}, ink::quiet);
    draw.AddText(font, font->FontSize, {x - 8 - size.x, at(value) - 0.5f * size.y}, ink::text, text.c_str());
  }
  for (const double line : words.lines)
    if (line > words.low && line < words.high)
      draw.AddLine({x - 2, at(line)}, {x + width + 4, at(line)}, ink::text, 1.5f);
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, 0, words.title.c_str());
  chip(draw, font, {x + width - size.x, top - 1.6f * size.y}, ink::text, words.title);
  ui.note({.id = "bar",
           .kind = "colour bar",
           .x = x,
           .y = top,
           .w = width,
           .h = height,
           .text = words.title,
           .value = words.high,
           .unit = words.unit});
  ui.explain_there({x - theme.px(40), top}, {x + width + 4, top + height}, words.hover);
}

}  // namespace aplomb::viewer
