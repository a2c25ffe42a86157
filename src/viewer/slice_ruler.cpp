// A ruler over the slice, from point to point.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "lengths.h"
#include "slice_sheet.h"

namespace aplomb::viewer {

using geometry::Vec2;

namespace {

bool on_one_slice(const Measured& a, const Measured& b) {
  return a.frame == b.frame && a.axis == b.axis && a.mm == b.mm && a.tilt_deg == b.tilt_deg && a.mirrored == b.mirrored;
}

}  // namespace

void ruler(Ui& ui, Screen& screen, ImDrawList& draw, const Sheet& sheet, Measured here) {
  if (ImGui::IsItemActivated()) {
    here.ends.fill(sheet.back(ImGui::GetIO().MousePos));
    screen.measured = here;
  }
  const Asked& asked = screen.asked;
  if (asked.rule) {
    const Vec2 half(5, 0);  // mm: long enough to be seen
    here.ends = {sheet.middle - half, sheet.middle + half};
    screen.measured = here;
  }
  if (screen.measured && !on_one_slice(*screen.measured, here)) screen.measured.reset();
  if (screen.measured) {
    screen.measured->ends[0] += Vec2(asked.rule_near_x, asked.rule_near_y);
    screen.measured->ends[1] += Vec2(asked.rule_far_x, asked.rule_far_y);
  }
  if (ImGui::IsItemActive() && screen.measured) screen.measured->ends[1] = sheet.back(ImGui::GetIO().MousePos);
  if (!screen.measured) return;
  const auto& [from, to] = screen.measured->ends;
  const double mm = (to - from).norm();
  if (mm < 0.05) return;
  const ImVec2 a = sheet(from), b = sheet(to);
  draw.AddLine(a, b, ink::mark, 2);
  draw.AddCircleFilled(a, 3, ink::mark), draw.AddCircleFilled(b, 3, ink::mark);
  const std::string words = length_words(mm, screen.document.look.inches);
  const ImVec2 at{0.5f * (a.x + b.x) + 6, 0.5f * (a.y + b.y) - 8};
  const ImVec2 size = ImGui::CalcTextSize(words.c_str());
  draw.AddRectFilled({at.x - 3, at.y - 1}, {at.x + size.x + 3, at.y + size.y + 1}, ink::paper, 3);
  draw.AddText(at, ink::mark, words.c_str());
  ui.note({.id = "slice.ruler",
           .kind = "ruler",
           .x = a.x,
           .y = a.y,
           .w = b.x - a.x,
           .h = b.y - a.y,
           .text = words,
           .value = mm,
           .unit = "mm"});
}

}  // namespace aplomb::viewer
