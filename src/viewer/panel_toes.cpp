// Toe by toe: five columns of figures fit beside the view, ten do not.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "aplomb/report/rows.h"
#include "doubt_words.h"
#include "lengths.h"
#include "panels.h"
#include "words.h"

namespace aplomb::viewer {

namespace {

/// "+3.1 mm" without its unit, which then stands in the name of the row.
std::pair<std::string, std::string> split_unit(const std::string& text) {
  const std::size_t space = text.rfind(' ');
  return space == std::string::npos ? std::pair(text, std::string())
                                    : std::pair(text.substr(0, space), text.substr(space + 1));
}

/// "+0.063" inches as "+.063", as inches are written where there is little room (ASME Y14.5).
std::string short_inches(std::string figure) {
  const std::size_t sign = figure.starts_with('+') || figure.starts_with('-') ? 1 : 0;
  if (figure.compare(sign, 2, "0.") == 0) figure.erase(sign, 1);
  return figure;
}

/// Two lines under a row of the toes: where its numbers lie with 90 %.
template <class Line>
void toe_bands(Ui& ui, const report::Grid& grid, std::size_t column, const std::string& of, const Line& line) {
  std::vector<std::string> low, high;
  std::string words, unit;
  for (std::size_t toe = 0; toe < grid.rows.size(); ++toe) {
    const auto band = band_text(grid.rows[toe][column], grid.doubts[toe][column], ui.inches);
    const bool in = band && band->unit == "in";
    low.push_back(!band ? "-" : in ? short_inches(band->low) : band->low);
    high.push_back(!band ? "-" : in ? short_inches(band->high) : band->high);
    words += (toe == 0 ? "" : ", ") + (band ? in_brackets(*band) : "not known");
    if (band) unit = band->unit;
  }
  const std::string id = "doubt." + of + "." + grid.columns[column];
  // A sign in front of these would not fit beside the widest figures.
  const std::string hover = fmt::format("{}\n{} ~: plain quantiles of the runs.", words, report::doubt_words());
  const auto end = [&](const char* which, const std::vector<std::string>& figures) {
    ImGui::PushStyleColor(ImGuiCol_Text, ink::quiet);
    line(fmt::format("  {}", which), figures, hover);
    ImGui::PopStyleColor();
  };
  end("5 %", low);
  end("95 %", high);
  ui.note_last({.id = id, .kind = "band", .text = words, .unit = unit});
}

}  // namespace

void toe_table(Ui& ui, const findings::Findings& f, const std::string& id) {
  const report::Grid grid = report::toe_grid(f);
  if (grid.rows.empty()) return;
  ui.title(grid.title);
  const int count = static_cast<int>(grid.rows.size());
  ImGui::PushStyleVar(ImGuiStyleVar_CellPadding, ImVec2(0.2f * ui.theme.unit, 0.15f * ui.theme.unit));
  const bool begun = ImGui::BeginTable(id.c_str(), count + 1, ImGuiTableFlags_SizingStretchProp);
  ImGui::PopStyleVar();
  if (!begun) return;
  ImGui::PushFont(ui.theme.small);
  ImGui::TableSetupColumn("", ImGuiTableColumnFlags_WidthFixed, ImGui::CalcTextSize("vamp cover, mm ").x);
  // As broad as name or figure, or the longest would be cut off.
  const float usual = ImGui::CalcTextSize("+00.0").x;
  for (const auto& row : grid.rows)
    ImGui::TableSetupColumn("", ImGuiTableColumnFlags_WidthStretch,
                            std::max(usual, ImGui::CalcTextSize(row[0].c_str()).x));
  const auto right = [](const std::string& text) {
    const float room = ImGui::GetContentRegionAvail().x - ImGui::CalcTextSize(text.c_str()).x;
    ImGui::SetCursorPosX(ImGui::GetCursorPosX() + std::max(0.0f, room));
    ImGui::TextUnformatted(text.c_str());
  };
  ImGui::TableNextColumn();
  for (const auto& row : grid.rows) {
    ImGui::TableNextColumn();
    ImGui::PushStyleColor(ImGuiCol_Text, ink::quiet);
    right(row[0]);
    ImGui::PopStyleColor();
  }
  const auto line = [&](const std::string& name, const std::vector<std::string>& words, const std::string& hover) {
    ImGui::TableNextColumn();
    ImGui::TextUnformatted(name.c_str());
    ui.explain(hover);
    for (const std::string& word : words) {
      ImGui::TableNextColumn();
      right(word);
      ui.explain(hover);
    }
  };
  for (std::size_t c = 1; c < grid.columns.size(); ++c) {
    std::string unit;
    std::vector<std::string> figures;
    for (const auto& row : grid.rows) {
      const auto [figure, its_unit] = split_unit(in_units(row[c], ui.inches));
      figures.push_back(its_unit == "in" ? short_inches(figure) : figure);
      if (!its_unit.empty()) unit = its_unit;
    }
    line(grid.columns[c] + (unit.empty() ? "" : ", " + unit), figures, finding_words("toes." + grid.columns[c]));
    if (f.doubts) toe_bands(ui, grid, c, id, line);
  }
  ImGui::PopFont();
  ImGui::EndTable();
}

}  // namespace aplomb::viewer
