// What is not solved yet, or cannot be, is said in the view.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "view_parts.h"

namespace aplomb::viewer {

namespace {

void say(Ui& ui, ImDrawList& draw, const ViewRect& rect, const std::string& id, const std::string& words, bool problem,
         float at) {
  ImFont* font = ui.theme.title;
  const float wrap = std::min(rect.w - 6 * ui.theme.unit, ui.theme.px(460));
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, wrap, words.c_str());
  const ImVec2 low{rect.x + 0.5f * (rect.w - size.x), rect.y + at * rect.h - 0.5f * size.y};
  const float pad = 1.5f * ui.theme.unit;
  draw.AddRectFilled({low.x - pad, low.y - pad}, {low.x + size.x + pad, low.y + size.y + pad},
                     problem ? ink::soft_alarm : IM_COL32(251, 250, 248, 235), 6);
  draw.AddText(font, font->FontSize, low, problem ? ink::alarm : ink::text, words.c_str(), nullptr, wrap);
  ui.note({.id = id, .kind = "text", .x = low.x, .y = low.y, .w = size.x, .h = size.y, .text = words});
}

}  // namespace

void say_state(Ui& ui, ImDrawList& draw, const Screen& screen, const SeatView& seat, const ViewRect& rect, int index) {
  const std::string id = fmt::format("view.{}.state", index);
  if (!seat.current) {
    if (seat.solved && seat.solved->shown())
      return say(ui, draw, rect, id,
                 screen.cancelled ? "Numbers have changed: not solved" : "Numbers have changed: solving", false, 0.9f);
    return say(ui, draw, rect, id, screen.cancelled ? "Not solved" : "Finding where the foot comes to rest", false,
               0.5f);
  }
  if (seat.solved->error) return say(ui, draw, rect, id, error_words(*seat.solved->error), true, 0.5f);
  const Look& look = screen.document.look;
  if (seat.solved->shown() && look.skin == SkinLook::difference && !look.client && !seat.compared())
    say(ui, draw, rect, id,
        seat.comes ? "Solving what it is compared with"
                   : "Nothing to compare with: change a number, or look side by side",
        false, 0.9f);
  if (!seat.solved->findings.converged)
    say(ui, draw, rect, id, "Not converged, so no map: " + seat.solved->findings.reason, true, 0.5f);
}

}  // namespace aplomb::viewer
