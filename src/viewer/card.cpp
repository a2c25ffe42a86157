// Cards look alike, and find their size themselves.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "card.h"

#include <algorithm>

namespace aplomb::viewer {

namespace {

constexpr ImGuiWindowFlags card_flags = ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize |
                                        ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                                        ImGuiWindowFlags_AlwaysAutoResize | ImGuiWindowFlags_NoFocusOnAppearing;

}  // namespace

void begin_card(const char* name, const ImVec2& at, const ImVec2& pivot, bool problem) {
  ImGui::SetNextWindowPos(at, ImGuiCond_Always, pivot);
  ImGui::PushStyleColor(ImGuiCol_WindowBg, problem ? ink::soft_alarm : ink::paper);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 6);
  ImGui::Begin(name, nullptr, card_flags);
}

void end_card() {
  ImGui::End();
  ImGui::PopStyleVar(2);
  ImGui::PopStyleColor();
}

float from_top(const Ui& ui, const ViewRect& rect) { return std::min(ui.theme.px(90), 0.2f * rect.h); }

}  // namespace aplomb::viewer
