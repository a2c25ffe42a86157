// Widgets over ImGui.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "widgets.h"

#include <algorithm>
#include <cstdlib>
#include <optional>
#include <utility>

namespace aplomb::viewer {

namespace {

/// "+3.1 mm" as 3.1 and "mm"; no number where the text does not begin with one.
std::pair<std::optional<double>, std::string> number_of(const std::string& text) {
  char* end = nullptr;
  const double number = std::strtod(text.c_str(), &end);
  if (end == text.c_str()) return {};
  return {number, *end == ' ' ? std::string(end + 1) : std::string(end)};
}

}  // namespace

bool Ui::button(const std::string& id, const std::string& label, const std::string& hover, const ButtonLook& look) {
  ImGui::BeginDisabled(!look.enabled);
  const int pushed = look.selected || look.strong ? 3 : 0;
  if (pushed > 0) {
    ImGui::PushStyleColor(ImGuiCol_Button, look.strong || look.selected ? ink::mark : ink::white);
    ImGui::PushStyleColor(ImGuiCol_ButtonHovered, IM_COL32(32, 92, 130, 255));
    ImGui::PushStyleColor(ImGuiCol_Text, ink::white);
  }
  ImGui::PushStyleVar(ImGuiStyleVar_FrameBorderSize, 1);
  const bool pressed = ImGui::Button((label + "###" + id).c_str(), {look.width, 0});
  ImGui::PopStyleVar();
  if (pushed > 0) ImGui::PopStyleColor(pushed);
  ImGui::EndDisabled();
  note_last({.id = id, .kind = "button", .text = label, .enabled = look.enabled, .selected = look.selected});
  explain(hover);
  return pressed;
}

bool Ui::toggle(const std::string& id, const std::string& label, const std::string& hover, bool& on, bool enabled) {
  // A filled box against an empty one: told by shape as well as colour.
  ImGui::BeginDisabled(!enabled);
  const float size = ImGui::GetFrameHeight() * 0.55f;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const ImVec2 text = ImGui::CalcTextSize(label.c_str());
  const bool pressed =
      ImGui::InvisibleButton(id.c_str(), {size + 0.75f * theme.unit + text.x, ImGui::GetFrameHeight()});
  if (pressed) on = !on;
  ImDrawList& draw = *ImGui::GetWindowDrawList();
  const float y = at.y + 0.5f * (ImGui::GetFrameHeight() - size);
  const ImU32 rim = ImGui::IsItemHovered() ? ink::mark : ink::quiet;
  if (on) draw.AddRectFilled({at.x, y}, {at.x + size, y + size}, ink::mark, 2);
  draw.AddRect({at.x, y}, {at.x + size, y + size}, rim, 2, 0, 1.2f);
  if (on) {
    draw.AddLine({at.x + 0.22f * size, y + 0.52f * size}, {at.x + 0.43f * size, y + 0.74f * size}, ink::white, 2);
    draw.AddLine({at.x + 0.43f * size, y + 0.74f * size}, {at.x + 0.80f * size, y + 0.28f * size}, ink::white, 2);
  }
  draw.AddText({at.x + size + 0.75f * theme.unit, at.y + 0.5f * (ImGui::GetFrameHeight() - text.y)},
               enabled ? ink::text : ink::quiet, label.c_str());
  if (ImGui::IsItemFocused() && ImGui::GetIO().NavVisible)
    draw.AddRect({at.x - 3, at.y}, {ImGui::GetItemRectMax().x + 3, ImGui::GetItemRectMax().y}, ink::mark, 3);
  ImGui::EndDisabled();
  note_last({.id = id, .kind = "toggle", .text = label, .enabled = enabled, .selected = on});
  explain(hover);
  return pressed;
}

void Ui::value_row(const std::string& id, const std::string& name, const std::string& in_mm, const std::string& hover,
                   bool stale, const std::string& second_in_mm) {
  const std::string value = in_shown_units(in_mm), second = in_shown_units(second_in_mm);
  const float width = ImGui::GetContentRegionAvail().x, left = ImGui::GetCursorPosX();
  ImGui::BeginGroup();
  ImGui::PushStyleColor(ImGuiCol_Text, stale ? ink::quiet : ink::text);
  ImGui::TextUnformatted(name.c_str());
  ImGui::PushFont(theme.strong);
  const float column = second.empty() ? width : width - theme.px(84);
  ImGui::SameLine(std::max(left + column - ImGui::CalcTextSize(value.c_str()).x, left + theme.unit));
  ImGui::TextUnformatted(value.c_str());
  if (!second.empty()) {
    ImGui::SameLine(left + width - ImGui::CalcTextSize(second.c_str()).x);
    ImGui::TextUnformatted(second.c_str());
  }
  ImGui::PopFont();
  ImGui::PopStyleColor();
  ImGui::EndGroup();
  ScreenItem item{
      .id = id, .kind = "value", .text = second.empty() ? value : value + " | " + second, .enabled = !stale};
  if (const auto [number, unit] = number_of(value); number) item.value = *number, item.unit = unit;
  note_last(std::move(item));
  explain(hover);
}

void Ui::words(const std::string& id, const std::string& in_mm, ImFont* font, ImU32 colour, float width) {
  const std::string text = in_shown_units(in_mm);
  ImGui::PushFont(font);
  ImGui::PushStyleColor(ImGuiCol_Text, colour);
  ImGui::PushTextWrapPos(width > 0 ? ImGui::GetCursorPosX() + width : 0.0f);
  ImGui::TextUnformatted(text.c_str());
  ImGui::PopTextWrapPos();
  ImGui::PopStyleColor();
  ImGui::PopFont();
  if (!id.empty()) note_last({.id = id, .kind = "text", .text = text});
}

void Ui::judged(const std::string& id, Mark mark, const std::string& text, const std::string& hover) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float r = theme.px(6), y = at.y + 0.5f * ImGui::GetTextLineHeight(), x = at.x + r, in = 0.5f * r;
  ImDrawList& draw = *ImGui::GetWindowDrawList();
  if (mark == Mark::good) {
    draw.AddCircleFilled({x, y}, r, IM_COL32(46, 105, 84, 255));
  } else if (mark == Mark::change) {
    draw.AddTriangleFilled({x, y - r}, {x + r, y + r}, {x - r, y + r}, IM_COL32(146, 92, 10, 255));
  } else {
    draw.AddRectFilled({x - r, y - r}, {x + r, y + r}, ink::alarm);
    draw.AddLine({x - in, y - in}, {x + in, y + in}, ink::white, 2);
    draw.AddLine({x - in, y + in}, {x + in, y - in}, ink::white, 2);
  }
  ImGui::SetCursorPosX(ImGui::GetCursorPosX() + 3 * r);
  words(id, text, theme.body, mark == Mark::unsuitable ? ink::alarm : ink::text, ImGui::GetContentRegionAvail().x);
  explain(hover);
}

void Ui::flow(const std::string& label, float gap) {
  const float spacing = gap > 0 ? gap : ImGui::GetStyle().ItemSpacing.x;
  const float width = ImGui::CalcTextSize(label.c_str()).x + 2 * ImGui::GetStyle().FramePadding.x + 1.5f * theme.unit;
  const float end = ImGui::GetWindowPos().x + ImGui::GetContentRegionMax().x;
  if (ImGui::GetItemRectMax().x + spacing + width <= end) ImGui::SameLine(0, spacing);
}

void Ui::title(const std::string& text) {
  ImGui::Dummy({0, 0.25f * theme.unit});
  words("", text, theme.strong, ink::mark);
}

void Ui::progress(double fraction, float width) {
  ImGui::PushStyleColor(ImGuiCol_PlotHistogram, ink::mark);
  ImGui::ProgressBar(static_cast<float>(fraction), {width, theme.px(8)}, "");
  ImGui::PopStyleColor();
}

}  // namespace aplomb::viewer
