// Where the panels stand. On a narrow window the side panels give way to the view.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <imgui.h>

#include <algorithm>
#include <utility>

#include "app.h"
#include "keys.h"
#include "panels.h"

namespace aplomb::viewer {

namespace {

constexpr ImGuiWindowFlags fixed = ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                                   ImGuiWindowFlags_NoCollapse | ImGuiWindowFlags_NoSavedSettings |
                                   ImGuiWindowFlags_NoBringToFrontOnFocus;

/// A panel of the layout: its window, a hairline on one side.
template <class Fill>
void panel(const char* name, const ViewRect& rect, ImU32 background, const ImVec2& padding, Fill&& fill,
           ImGuiWindowFlags more = 0) {
  if (rect.w < 8 || rect.h < 8) return;
  ImGui::SetNextWindowPos({rect.x, rect.y});
  ImGui::SetNextWindowSize({rect.w, rect.h});
  ImGui::PushStyleColor(ImGuiCol_WindowBg, background);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, padding);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowMinSize, ImVec2(1, 1));
  ImGui::Begin(name, nullptr, fixed | more);
  ImGui::PopStyleVar(2);
  fill();
  ImDrawList& draw = *ImGui::GetWindowDrawList();
  draw.PushClipRect({rect.x, rect.y}, {rect.x + rect.w, rect.y + rect.h});
  draw.AddRect({rect.x - 1, rect.y - 1}, {rect.x + rect.w, rect.y + rect.h}, ink::line);
  draw.PopClipRect();
  ImGui::End();
  ImGui::PopStyleColor();
}

}  // namespace

void App::lay_out(Ui& ui) {
  if (std::exchange(screen_.asked.next_panel, false)) focus_next_panel();  // before its widgets: the first one takes it
  const ImVec2 size = ImGui::GetIO().DisplaySize;
  const float line = ImGui::GetFrameHeight() + 2 * theme_.unit, unit = theme_.unit;
  const ImVec2 pad{2 * unit, unit};
  const Look& look = screen_.document.look;
  using Sheet = Screen::Sheet;
  const bool wide = size.x >= theme_.px(960), high = size.y >= theme_.px(420);
  screen_.crowded = !wide || !high;
  const auto chosen = [&](Sheet sheet) { return !look.client && screen_.crowded && screen_.sheet == sheet; };
  const bool roomy = (high || chosen(Sheet::look)) && !look.client;
  const float top = std::max(line, heights_.top);
  const float status = ImGui::GetTextLineHeight() + unit;
  const bool heights = screen_.shown(0) != nullptr && screen_.shown(0)->frames.size() > 1;
  const float least = line + (heights ? ImGui::GetFrameHeightWithSpacing() : 0);
  const float strip = roomy ? std::max(least, heights_.strip) : 0;
  // Where both do not fit, one at a time; where not even one fits beside the view, it covers it.
  const bool shelf = screen_.shelf && screen_.show_shelf;
  const float findings_width = theme_.px(shelf || screen_.document.subject.side_by_side ? 384 : 312);
  const bool shows_numbers = wide ? screen_.show_numbers && !look.client : chosen(Sheet::numbers);
  const bool fits = size.x >= theme_.px(680) && high && screen_.sheet == Sheet::view;
  const bool shows_findings = wide || fits ? screen_.show_findings && !look.client : chosen(Sheet::findings);
  screen_.shelf_in_sight = shelf && shows_findings;
  screen_.findings_in_sight = !shelf && shows_findings;
  const auto beside = [&](float width) { return size.x - width < theme_.px(160) ? size.x : width; };
  const float numbers = shows_numbers ? beside(theme_.px(292)) : 0;
  const float findings = shows_findings ? beside(findings_width) : 0;
  const float client = look.client ? std::min(theme_.px(150), 0.45f * size.y) : 0;
  const float bar = look.client || !roomy ? 0 : std::max(line, heights_.look);
  const ViewRect all{numbers, top, size.x - numbers - findings, size.y - top - strip - status - client};
  const bool sliced = look.slice != SliceAxis::none && !look.client;
  const float sheet = sliced ? std::min(theme_.px(300), 0.5f * all.w) : 0;
  const ViewRect middle{all.x, all.y + bar, all.w - sheet, all.h - bar};
  const ViewRect slice_rect{all.x + all.w - sheet, all.y + bar, sheet, all.h - bar};

  const auto still = ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse;
  const auto measured = [&](float& height) {
    height = ImGui::GetCursorPosY() - ImGui::GetStyle().ItemSpacing.y + unit;
  };
  panel(
      "top", {0, 0, size.x, top}, ink::panel, pad, [&] { top_panel(ui, screen_), measured(heights_.top); }, still);
  panel("numbers_panel", {0, top, numbers, all.h}, ink::panel, pad, [&] { numbers_panel(ui, screen_); });
  panel("findings_panel", {size.x - findings, top, findings, all.h}, ink::panel, pad,
        [&] { shelf ? shelf_panel(ui, screen_) : findings_panel(ui, screen_); });
  panel(
      "look_panel", {all.x, all.y, all.w, bar}, ink::stage, {unit, unit},
      [&] { look_bar(ui, screen_), measured(heights_.look); }, still);
  panel(
      "view_panel", middle, ink::stage, {0, 0},
      [&] {
        if (view_) view_->draw(ui, screen_, middle);
      },
      still | ImGuiWindowFlags_NoBackground | ImGuiWindowFlags_NoNavInputs);  // arrows there are the view's own
  if (look.client)
    panel("client_panel", {0, top + all.h, size.x, client}, ink::paper, pad, [&] {
      client_words(ui, screen_, {0, top + all.h, size.x, client});
    });
  panel(
      "positions_panel", {0, top + all.h + client, size.x, strip}, ink::panel, pad,
      [&] { positions_panel(ui, screen_), measured(heights_.strip); }, still);
  panel(
      "status_panel", {0, size.y - status, size.x, status}, ink::paper, {2 * unit, 0.5f * unit},
      [&] { status_panel(ui, screen_); }, still);
  screen_.view_moving = false;
  if (sliced)
    panel(
        "slice_panel", slice_rect, ink::paper, {unit, unit}, [&] { slice_panel(ui, screen_); }, still);
  if (!look.client) picked_card(ui, screen_, middle);
  message_cards(ui, screen_, middle);
  file_window(ui, screen_);
  help_window(ui, screen_);
}

}  // namespace aplomb::viewer
