// A number to be set: name and value, a slider under them, where it comes from, and the way back.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "widgets.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace aplomb::viewer {

SliderMove Ui::number(const NumberRow& row, double& value, bool& put_back) {
  SliderMove move;
  ImGui::PushID(row.id.c_str());
  const float width = ImGui::GetContentRegionAvail().x;
  const float left = ImGui::GetCursorPosX();
  ImGui::TextUnformatted(row.name.c_str());
  explain(row.hover);
  const std::string text =
      shown_number(row.value * row.factor, row.decimals) + (row.unit.empty() ? "" : " " + row.unit);
  ImGui::PushFont(theme.strong);
  ImGui::SameLine(left + width - ImGui::CalcTextSize(text.c_str()).x);
  ImGui::TextUnformatted(text.c_str());
  ImGui::PopFont();

  ImGui::SetCursorPosY(ImGui::GetCursorPosY() - 0.5f * theme.unit);
  ImGui::BeginDisabled(!row.enabled);
  const float tag = theme.px(66);
  ImGui::SetNextItemWidth(width - tag - theme.unit);
  const double low = row.low * row.factor, high = row.high * row.factor;
  double shown = row.value * row.factor;
  ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(theme.unit, 0.1f * theme.unit));
  ImGui::PushStyleVar(ImGuiStyleVar_FrameBorderSize, 1);
  move.changed =
      ImGui::SliderScalar("##slider", ImGuiDataType_Double, &shown, &low, &high, "", ImGuiSliderFlags_AlwaysClamp);
  ImGui::PopStyleVar(2);
  move.dragging = ImGui::IsItemActive();
  if (move.changed) {
    // As fine as it is shown, so that what is read is what is solved.
    const double step = std::pow(10.0, -row.decimals);
    value = std::clamp(std::round(shown / step) * step / row.factor, row.low, row.high);
  }
  ImGui::EndDisabled();
  note_last({.id = row.id,
             .kind = "slider",
             .text = text,
             .value = row.value * row.factor,
             .unit = row.unit,
             .enabled = row.enabled,
             .selected = row.changed});
  explain(fmt::format("{}\n{} to {} {}. Ctrl+click to type a number.", row.hover, shown_number(low, row.decimals),
                      shown_number(high, row.decimals), row.unit));
  ImGui::SameLine();
  ImGui::PushFont(theme.small);
  if (row.changed) {
    put_back = ImGui::SmallButton("put back");
    note_last({.id = row.id + ".put_back", .kind = "button", .text = "put back"});
    explain("Changed by hand. Puts back the number that the file gives.");
  } else {
    ImGui::TextDisabled("%s", row.origin.c_str());
    explain(row.origin == "prior"   ? "Not measured: what is usual for a foot like this one."
            : row.origin == "usual" ? "Not in the file: the usual number, or what follows from the others."
                                    : "Where this number comes from.");
  }
  ImGui::PopFont();
  ImGui::PopID();
  return move;
}

}  // namespace aplomb::viewer
