// The findings in plain words; two columns side by side. What is judged is told by a shape and a word.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "aplomb/report/rows.h"
#include "screen.h"
#include "words.h"

namespace aplomb::viewer {

std::string in_units(const std::string& value, bool inches) {
  if (!inches || !value.ends_with(" mm")) return value;
  const double mm = std::strtod(value.c_str(), nullptr);
  return shown_number(mm / 25.4, 3, value.starts_with('+') || value.starts_with('-')) + " in";
}

namespace {

/// What holds or does not hold by plain geometry.
struct Fact {
  std::string id, words;
  bool holds = true;
};

std::vector<Fact> facts(const findings::Findings& f) {
  std::vector<Fact> all;
  if (!f.goes_in)
    all.push_back(
        {"fact.goes_in", "Does not go in: toes or walls carry the foot, the heel is outside its seat.", false});
  if (f.converged && f.plumb.applies && f.plumb.margin_mm)
    all.push_back({"fact.gets_over",
                   f.plumb.gets_over ? "Stands over the platform." : "Does not get over the platform.",
                   f.plumb.gets_over});
  if (f.converged && f.rise)
    all.push_back({"fact.rolls_through",
                   f.rise->rolls_through ? "Rolls through onto the ball." : "Does not roll through onto the ball.",
                   f.rise->rolls_through});
  return all;
}

std::string value_of(const std::vector<report::Section>& sections, const std::string& key, const std::string& name) {
  for (const report::Section& section : sections)
    for (const report::Row& row : section.rows)
      if (row.key == key && row.name == name) return row.value;
  return "-";
}

void row_of(Ui& ui, const Screen& screen, const report::Row& row, const std::vector<report::Section>* beside) {
  const Look& look = screen.document.look;
  std::string hover = row.meaning;
  if (const std::string more = finding_words(row.key); !more.empty()) hover += (hover.empty() ? "" : "\n") + more;
  if (!row.band.empty()) hover += "\nFriction, path to settled: " + row.band;
  const std::string second = beside != nullptr ? in_units(value_of(*beside, row.key, row.name), look.inches) : "";
  const bool stale = !screen.seats[0].current || (beside != nullptr && !screen.seats[1].current);
  ui.value_row("finding." + (row.key.empty() ? row.name : row.key), row.name, in_units(row.value, look.inches), hover,
               stale, second);
  if (!row.band.empty() && row.band != "unchanged") ui.words("band." + row.key, row.band, ui.theme.small, ink::quiet);
}

/// "+3.1 mm" without its unit, which then stands in the name of the row.
std::pair<std::string, std::string> split_unit(const std::string& text) {
  const std::size_t space = text.rfind(' ');
  return space == std::string::npos ? std::pair(text, std::string())
                                    : std::pair(text.substr(0, space), text.substr(space + 1));
}

/// A row for each number, a column for each toe: five columns of figures fit where ten do not.
void toes(Ui& ui, const findings::Findings& f, bool inches) {
  const report::Grid grid = report::toe_grid(f);
  if (grid.rows.empty()) return;
  ui.title(grid.title);
  const int count = static_cast<int>(grid.rows.size());
  ImGui::PushStyleVar(ImGuiStyleVar_CellPadding, ImVec2(0.2f * ui.theme.unit, 0.15f * ui.theme.unit));
  const bool begun = ImGui::BeginTable("toes", count + 1, ImGuiTableFlags_SizingStretchProp);
  ImGui::PopStyleVar();
  if (!begun) return;
  ImGui::PushFont(ui.theme.small);
  ImGui::TableSetupColumn("", ImGuiTableColumnFlags_WidthFixed, ImGui::CalcTextSize("vamp cover, mm ").x);
  for (int toe = 0; toe < count; ++toe) ImGui::TableSetupColumn("", ImGuiTableColumnFlags_WidthStretch, 1);
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
  for (std::size_t c = 1; c < grid.columns.size(); ++c) {
    std::string unit;
    std::vector<std::string> figures;
    for (const auto& row : grid.rows) {
      const auto [figure, its_unit] = split_unit(in_units(row[c], inches));
      figures.push_back(figure);
      if (!its_unit.empty()) unit = its_unit;
    }
    ImGui::TableNextColumn();
    const std::string name = grid.columns[c] + (unit.empty() ? "" : ", " + unit);
    ImGui::TextUnformatted(name.c_str());
    for (const std::string& figure : figures) {
      ImGui::TableNextColumn();
      right(figure);
    }
  }
  ImGui::PopFont();
  ImGui::EndTable();
}

/// The height on the way down that is shown.
void height(Ui& ui, const findings::Findings& f, int step, bool inches) {
  const report::Grid grid = report::way_down_grid(f);
  if (grid.rows.empty()) return;
  ui.title(grid.title);
  const auto& row = grid.rows[static_cast<std::size_t>(std::clamp(step, 0, static_cast<int>(grid.rows.size()) - 1))];
  for (std::size_t c = 0; c < row.size(); ++c)
    ui.value_row("height." + std::to_string(c), grid.columns[c], in_units(row[c], inches), "", false);
}

void not_there(Ui& ui, const SeatView& seat) {
  if (seat.solved == nullptr)
    return ui.words("findings.none", "Finding where the foot comes to rest.", ui.theme.body, ink::quiet);
  if (!seat.current) return ui.words("findings.none", "The numbers have changed; solving.", ui.theme.body, ink::quiet);
  if (seat.solved->error)
    ui.words("findings.error", error_words(*seat.solved->error), ui.theme.body, ink::alarm);
  else if (!seat.solved->findings.converged)
    ui.words("findings.not_converged", "Not converged: " + seat.solved->findings.reason + ". No findings and no map.",
             ui.theme.body, ink::alarm);
}

}  // namespace

void visit_words(Ui& ui, const Screen& screen) {
  if (!screen.visit) return;
  const shop::Visit& visit = *screen.visit;
  ui.title("Visit: " + (visit.client.empty() ? "no name" : visit.client));
  int number = 0;
  for (const std::string& caution : own_cautions(visit))
    ui.words("visit.caution." + std::to_string(++number), caution, ui.theme.body, ink::text,
             ImGui::GetContentRegionAvail().x);
}

void findings_panel(Ui& ui, Screen& screen) {
  const SeatView& seat = screen.seats[0];
  const bool two = screen.document.subject.side_by_side;
  ui.words("findings.title", "Findings", ui.theme.title);
  ui.toggle("band", "How sure: friction",
            "Cycles the load until friction has settled and gives both answers; takes a few times as long.",
            screen.document.look.band);
  trying(ui, screen);
  ImGui::BeginChild("findings", {0, 0}, false,
                    ImGuiWindowFlags_AlwaysVerticalScrollbar | ImGuiWindowFlags_NavFlattened);
  visit_words(ui, screen);
  if (seat.solved && seat.current)
    for (const Fact& fact : facts(seat.solved->findings))
      ui.judged(fact.id, fact.holds ? Mark::good : Mark::unsuitable, fact.words);
  if (seat.solved && seat.current && !seat.solved->error) {
    verdicts(ui, screen);
    what_helps(ui, screen);
  }
  if (seat.solved == nullptr || !seat.solved->shown()) {
    not_there(ui, seat);
    ImGui::EndChild();
    return;
  }
  std::vector<report::Section> beside;
  if (two && screen.shown(1) != nullptr) beside = report::sections(screen.shown(1)->findings);
  if (two) ui.words("", "first view, second view", ui.theme.small, ink::quiet);
  height(ui, seat.solved->findings, screen.document.look.step, screen.document.look.inches);
  for (const report::Section& section : report::sections(seat.solved->findings)) {
    ui.title(section.title);
    for (const report::Row& row : section.rows) row_of(ui, screen, row, two ? &beside : nullptr);
  }
  if (!two) toes(ui, seat.solved->findings, screen.document.look.inches);
  ui.title("What this rests on");
  for (const report::Row& row : report::basis(seat.solved->findings))
    ui.words("basis." + row.key, row.name + ": " + row.value, ui.theme.small, ink::quiet);
  for (const std::string& limit : seat.solved->findings.limits) ui.words("", limit, ui.theme.small, ink::quiet);
  ImGui::EndChild();
}

}  // namespace aplomb::viewer
