// Region by region: where the skin is pressed, how much at the most and on the whole.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "aplomb/report/rows.h"
#include "panels.h"

namespace aplomb::viewer {

namespace {

constexpr const char* head_words[] = {"Part of the foot; only those that carry load.",
                                      "The highest pressure on it. Shown and not graded.",
                                      "Its load over the skin that is loaded.", "How much of its skin is loaded."};

void cell(Ui& ui, const std::string& text, bool to_the_right) {
  ImGui::TableNextColumn();
  const std::string shown = ui.in_shown_units(text);
  const float room = ImGui::GetContentRegionAvail().x - ImGui::CalcTextSize(shown.c_str()).x;
  if (to_the_right) ImGui::SetCursorPosX(ImGui::GetCursorPosX() + std::max(0.0f, room));
  ImGui::TextUnformatted(shown.c_str());
}

}  // namespace

void region_table(Ui& ui, const findings::Findings& findings, const std::string& id) {
  const report::Grid grid = report::region_grid(findings);
  if (grid.rows.empty()) return;
  ui.title(grid.title);
  if (!ImGui::BeginTable(id.c_str(), static_cast<int>(grid.columns.size()), ImGuiTableFlags_SizingStretchProp)) return;
  ImGui::PushFont(ui.theme.small);
  ImGui::PushStyleColor(ImGuiCol_Text, ink::quiet);
  for (std::size_t c = 0; c < grid.columns.size(); ++c) {
    cell(ui, grid.columns[c], c > 0);
    ui.explain(head_words[c]);
  }
  ImGui::PopStyleColor();
  for (const auto& row : grid.rows) {
    std::string all;
    for (std::size_t c = 0; c < row.size(); ++c) {
      cell(ui, row[c], c > 0);
      if (c > 0) all += (all.empty() ? "" : ", ") + grid.columns[c] + " " + row[c];
    }
    ui.note_last({.id = id + "." + row[0], .kind = "value", .text = all});
  }
  ImGui::PopFont();
  ImGui::EndTable();
}

}  // namespace aplomb::viewer
