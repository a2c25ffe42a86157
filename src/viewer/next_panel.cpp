// The keyboard goes from panel to panel.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <imgui.h>
#include <imgui_internal.h>

#include <array>

#include "keys.h"

namespace aplomb::viewer {

// ImGui has no public call to show where the keyboard is.
void focus_next_panel() {
  // Cards first: they ask something, and wait.
  constexpr std::array names{"leaving",    "recovery",      "scan",           "message",         "top",
                             "look_panel", "numbers_panel", "findings_panel", "positions_panel", "client_panel",
                             "slice_panel"};
  ImGuiContext& imgui = *ImGui::GetCurrentContext();
  const ImGuiWindow* now = imgui.NavWindow == nullptr ? nullptr : imgui.NavWindow->RootWindow;
  std::size_t at = names.size() - 1;
  for (std::size_t i = 0; i < names.size(); ++i)
    if (now != nullptr && now == ImGui::FindWindowByName(names[i])) at = i;
  for (std::size_t step = 1; step <= names.size(); ++step) {
    ImGuiWindow* next = ImGui::FindWindowByName(names[(at + step) % names.size()]);
    if (next == nullptr || !next->WasActive) continue;
    ImGui::FocusWindow(next);
    ImGui::NavInitWindow(next, true);
    imgui.NavDisableHighlight = false;
    return;
  }
}

}  // namespace aplomb::viewer
