// What a widget says of itself: to people on hover, to tests in the record.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "widgets.h"

namespace aplomb::viewer {

void Ui::note(ScreenItem item) { record_.items.push_back(std::move(item)); }

void Ui::note_last(ScreenItem item) {
  const ImVec2 low = ImGui::GetItemRectMin(), high = ImGui::GetItemRectMax();
  item.x = low.x, item.y = low.y, item.w = high.x - low.x, item.h = high.y - low.y;
  item.visible = ImGui::IsItemVisible();
  item.focused = ImGui::IsItemFocused() && ImGui::GetIO().NavVisible;
  note(std::move(item));
}

void Ui::explain(const std::string& hover) {
  if (!hover.empty() && ImGui::IsItemHovered(ImGuiHoveredFlags_AllowWhenDisabled)) tell(hover);
}

void Ui::explain_there(ImVec2 low, ImVec2 high, const std::string& hover) {
  if (!hover.empty() && ImGui::IsWindowHovered() && ImGui::IsMouseHoveringRect(low, high)) tell(hover);
}

void Ui::tell(const std::string& hover) {
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(1.5f * theme.unit, theme.unit));
  ImGui::BeginTooltip();
  ImGui::PushTextWrapPos(theme.px(320));
  const std::string shown = in_shown_units(hover);
  ImGui::TextUnformatted(shown.c_str());
  ImGui::PopTextWrapPos();
  ImGui::EndTooltip();
  ImGui::PopStyleVar();
  record_.state["hover"] = shown;
}

}  // namespace aplomb::viewer
