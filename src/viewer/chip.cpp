// A light ground, so that words are read whatever lies behind them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "chip.h"

namespace aplomb::viewer {

namespace {

constexpr ImU32 label_ground = IM_COL32(251, 250, 248, 215);

}  // namespace

void chip(ImDrawList& draw, ImFont* font, const ImVec2& at, ImU32 colour, const std::string& words) {
  if (words.empty()) return;
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, 0, words.c_str());
  draw.AddRectFilled({at.x - 3, at.y - 1}, {at.x + size.x + 3, at.y + size.y + 1}, label_ground, 3);
  draw.AddText(font, font->FontSize, at, colour, words.c_str());
}

}  // namespace aplomb::viewer
