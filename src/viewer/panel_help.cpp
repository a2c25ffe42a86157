// Help: keys, and what to do first.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "panels.h"
#include "words.h"

namespace aplomb::viewer {

namespace {

/// An item over its words, so that arrow keys go down the list and take what is out of sight with them.
void line(Ui& ui, std::size_t number) {
  const Shortcut& shortcut = shortcuts()[number];
  const ImVec2 at = ImGui::GetCursorPos();
  ImGui::BeginGroup();
  ui.words("", shortcut.keys, ui.theme.strong);
  ImGui::SameLine(ui.theme.px(220));
  ui.words("", shortcut.what, ui.theme.body);
  ImGui::EndGroup();
  const float height = ImGui::GetItemRectSize().y;
  ImGui::SetCursorPos(at);
  const std::string id = "help.line." + std::to_string(number);
  ImGui::InvisibleButton(id.c_str(), {std::max(1.0f, ImGui::GetContentRegionAvail().x), height});
  ui.note_last({.id = id, .kind = "text", .text = shortcut.what});
  if (ImGui::IsItemFocused() && ImGui::GetIO().NavVisible)
    ImGui::GetWindowDrawList()->AddRect(ImGui::GetItemRectMin(), ImGui::GetItemRectMax(), ink::mark, 3);
}

}  // namespace

void help_window(Ui& ui, Screen& screen) {
  if (!screen.show_help) return;
  const ImVec2 size = ImGui::GetIO().DisplaySize;
  const float width = std::min(ui.theme.px(620), size.x - 2 * ui.theme.unit),
              height = std::min(ui.theme.px(640), size.y - 2 * ui.theme.unit);
  ImGui::SetNextWindowPos({0.5f * (size.x - width), 0.5f * (size.y - height)});
  ImGui::SetNextWindowSize({width, height});
  ImGui::PushStyleColor(ImGuiCol_WindowBg, ink::paper);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::Begin("help_window", nullptr,
               ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                   ImGuiWindowFlags_NoSavedSettings);
  ui.words("help.title", "Where the foot comes to rest in the shoe", ui.theme.title);
  ui.words("help.first",
           "What you see first is an invented sample. Drop a foot's card and a shoe on the window, or open them. "
           "Drag a number on the left: the foot settles anew. Step through the positions below. "
           "Hold the pointer over any word to read what it means.",
           ui.theme.body);
  if (ui.button("help.close", "Close", "Esc", {.strong = true})) screen.show_help = false;
  ImGui::BeginChild("keys", {0, 0}, false, ImGuiWindowFlags_NavFlattened);
  for (std::size_t i = 0; i < shortcuts().size(); ++i) line(ui, i);
  ImGui::EndChild();
  ImGui::End();
  ImGui::PopStyleVar();
  ImGui::PopStyleColor();
}

}  // namespace aplomb::viewer
