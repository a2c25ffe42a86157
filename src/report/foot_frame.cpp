// SPDX-License-Identifier: GPL-3.0-or-later
#include "foot_frame.h"

#include <fmt/format.h>

#include <algorithm>

#include "aplomb/report/rows.h"
#include "foot_layout.h"

namespace aplomb::report {

void draw_foot_heading(Canvas& canvas, foot::Side side, const std::string& title, const std::string& line) {
  const std::string words = side == foot::Side::left ? "LEFT" : "RIGHT";
  const TextStyle badge{.size = 40, .bold = true, .colour = theme.white};
  const Vec2 size = canvas.text_size(words, badge);
  const Rect box{foot_sheet_edge, 28, size.x() + 44, 76};
  canvas.fill(box, theme.ink, 8);
  canvas.text(box.x + 22, box.y + (box.h - size.y()) / 2, words, badge);
  const double x = box.x + box.w + 22, room = 1250 - x;
  const auto fitted = [&](double y, const std::string& text, TextStyle style) {
    const double fit = 0.99 * room / canvas.text_size(text, style).x();
    style.size *= std::clamp(fit, 0.7, 1.0);
    if (fit < 0.7) style.width = room, style.height = style.size;
    canvas.text(x, y, text, style);
  };
  fitted(24, title, {.size = 36, .bold = true});
  fitted(73, line, {.size = 22, .colour = theme.quiet});
}

void draw_foot_cautions(Canvas& canvas, const std::string& version) {
  const auto words = cautions();
  canvas.text(foot_sheet_edge, foot_sheet_height - 66, words[0], {.size = 20, .bold = true});
  canvas.text(foot_sheet_edge, foot_sheet_height - 37, fmt::format("{} {}", words[1], words[2]),
              {.size = 17, .colour = theme.quiet});
  canvas.text(foot_sheet_width - foot_sheet_edge, foot_sheet_height - 37, fmt::format("aplomb {}", version),
              {.size = 17, .colour = theme.quiet, .align = Align::right});
}

}  // namespace aplomb::report
