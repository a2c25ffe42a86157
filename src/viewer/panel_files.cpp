// The file panel: recent files, samples, folders; saving under a name.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <imgui.h>
#include <imgui_stdlib.h>

#include "panels.h"

namespace aplomb::viewer {

namespace {

/// A button each, as many in a line as fit.
void files_at_hand(Ui& ui, Screen& screen, const char* title, const char* id,
                   const std::vector<std::filesystem::path>& files) {
  if (files.empty()) return;
  ui.title(title);
  for (std::size_t i = 0; i < files.size(); ++i) {
    const std::string name = files[i].filename().string();
    if (i > 0) ui.flow(name);
    if (ui.button(id + std::to_string(i), name, files[i].string())) screen.asked.open_file = files[i];
  }
}

void entries(Ui& ui, Screen& screen) {
  FilePanel& panel = *screen.files;
  ui.words("folder", panel.folder.string(), ui.theme.small, ink::quiet);
  if (!panel.complaint.empty()) ui.words("folder.complaint", panel.complaint, ui.theme.body, ink::alarm);
  std::filesystem::path go;
  if (ui.button("folder.up", "Folder above", "")) go = panel.folder.parent_path();
  ImGui::BeginChild("entries", {0, -2.2f * ImGui::GetFrameHeightWithSpacing()}, true, ImGuiWindowFlags_NavFlattened);
  for (const FolderEntry& entry : panel.entries) {
    const std::string shown = entry.folder ? entry.name + " /" : entry.name;
    if (ImGui::Selectable((shown + "###entry." + entry.name).c_str(), panel.name == entry.name)) {
      if (entry.folder)
        go = panel.folder / entry.name;
      else if (panel.purpose == FilePanel::Purpose::open)
        screen.asked.open_file = panel.folder / entry.name;
      else
        panel.name = entry.name;
    }
    ui.note_last({.id = "entry." + entry.name, .kind = entry.folder ? "folder" : "file", .text = shown});
  }
  ImGui::EndChild();
  if (!go.empty()) panel.go(go);
}

}  // namespace

void file_window(Ui& ui, Screen& screen) {
  if (!screen.files) return;
  const ImVec2 size = ImGui::GetIO().DisplaySize;
  const float width = std::min(ui.theme.px(560), size.x - 2 * ui.theme.unit),
              height = std::min(ui.theme.px(560), size.y - 2 * ui.theme.unit);
  ImGui::SetNextWindowPos({0.5f * (size.x - width), 0.5f * (size.y - height)});
  ImGui::SetNextWindowSize({width, height});
  ImGui::PushStyleColor(ImGuiCol_WindowBg, ink::paper);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::Begin("files", nullptr,
               ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                   ImGuiWindowFlags_NoSavedSettings);
  FilePanel& panel = *screen.files;
  const bool saving = panel.purpose == FilePanel::Purpose::save;
  ui.words("files.title", saving ? "Save the session" : "Open a scan, a card, a shoe, a visit, a stock or a session",
           ui.theme.title);
  if (!saving) {
    files_at_hand(ui, screen, "Recent", "recent.", screen.recent);
    files_at_hand(ui, screen, "Samples", "sample.", screen.samples);
  }
  entries(ui, screen);
  if (!panel.told.empty() && panel.told_of == (panel.folder / panel.name).lexically_normal())
    ui.words("files.told", panel.told, ui.theme.body, ink::alarm);
  if (panel.focus_name) ImGui::SetKeyboardFocusHere(), panel.focus_name = false;
  ImGui::SetNextItemWidth(ImGui::GetContentRegionAvail().x - ui.theme.px(190));
  const bool entered = ImGui::InputText("##name", &panel.name, ImGuiInputTextFlags_EnterReturnsTrue);
  ui.note_last({.id = "files.name", .kind = "input", .text = panel.name});
  ui.explain("A name in this folder, or a whole path.");
  ImGui::SameLine();
  const std::filesystem::path file = panel.folder / panel.name;  // a whole path stays what it is
  const bool pressed =
      ui.button("files.go", saving ? "Save" : "Open", "", {.enabled = !panel.name.empty(), .strong = true});
  if ((entered || pressed) && !panel.name.empty()) {
    if (saving)
      screen.asked.save_to = file;
    else
      screen.asked.open_file = file;
  }
  ImGui::SameLine();
  const bool closed = ui.button("files.cancel", "Cancel", "Esc");
  ImGui::End();
  ImGui::PopStyleVar();
  ImGui::PopStyleColor();
  if (closed) screen.files.reset();
}

}  // namespace aplomb::viewer
