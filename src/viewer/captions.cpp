// Whose foot it is, what is seen of it, and from which side.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "chip.h"
#include "marks.h"

namespace aplomb::viewer {

using geometry::Vec3;

namespace {

/// What lies at the left and the right edge.
std::pair<const char*, const char*> edge_words(const Place& place, const findings::Scene& scene) {
  const Vec3 right = place.camera.right_S();
  const double medial = scene.side == foot::Side::left ? -1 : 1;
  if (std::abs(right.y()) > 0.7)
    return right.y() * medial > 0 ? std::pair("outer side", "inner side") : std::pair("inner side", "outer side");
  if (std::abs(right.x()) < 0.3) return {"", ""};
  return right.x() > 0 ? std::pair("back", "front") : std::pair("front", "back");
}

}  // namespace

void draw_badge(Ui& ui, ImDrawList& draw, const ViewRect& rect, foot::Side side, const std::string& id) {
  const Theme& theme = ui.theme;
  const bool left = side == foot::Side::left;
  const char* words = left ? "LEFT" : "RIGHT";
  ImFont* font = theme.strong;
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, 0, words);
  const float pad = theme.px(8), x = rect.x + theme.px(16), y = rect.y + theme.px(12);
  // A left badge is outlined, a right one filled: not by the word alone.
  const ImVec2 low{x, y}, high{x + size.x + 2 * pad, y + size.y + pad};
  draw.AddRectFilled(low, high, left ? ink::white : ink::mark, theme.px(4));
  draw.AddRect(low, high, ink::mark, theme.px(4), 0, 2);
  draw.AddText(font, font->FontSize, {x + pad, y + 0.5f * pad}, left ? ink::mark : ink::white, words);
  ui.note({.id = id, .kind = "badge", .x = low.x, .y = low.y, .w = high.x - low.x, .h = high.y - low.y, .text = words});
}

void draw_caption(Ui& ui, ImDrawList& draw, const Place& place, const findings::Scene& scene,
                  const std::string& caption) {
  const Theme& theme = ui.theme;
  const float x = place.rect.x + theme.px(16);
  chip(draw, theme.small, {x, place.rect.y + theme.px(24) + theme.strong->FontSize}, ink::text, caption);
  if (place.rect.h < theme.px(140)) return;
  const auto [at_left, at_right] = edge_words(place, scene);
  const float low_line = place.rect.y + place.rect.h - theme.px(62);
  chip(draw, theme.small, {x, low_line}, ink::quiet, at_left);
  const ImVec2 right = theme.small->CalcTextSizeA(theme.small->FontSize, 1e9f, 0, at_right);
  chip(draw, theme.small, {place.rect.x + place.rect.w - theme.px(16) - right.x, low_line}, ink::quiet, at_right);
}

}  // namespace aplomb::viewer
