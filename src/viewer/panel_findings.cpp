// The findings in plain words; two columns side by side. What is judged is told by a shape and a word.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "aplomb/report/rows.h"
#include "lengths.h"
#include "panels.h"
#include "words.h"

namespace aplomb::viewer {

namespace {

/// What holds or does not hold by plain geometry.
struct Fact {
  std::string id, words;
  bool holds = true;
};

std::vector<Fact> facts(const findings::Findings& f) {
  std::vector<Fact> all;
  if (!f.goes_in)
    all.push_back({"fact.goes_in",
                   fmt::format("Does not go in: {}.",
                               f.converged ? "toes or walls carry the foot, the heel is outside its seat" : f.reason),
                   false});
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

const report::Row* same_row(const std::vector<report::Section>& sections, const report::Row& like) {
  for (const report::Section& section : sections)
    for (const report::Row& row : section.rows)
      if (row.key == like.key && row.name == like.name) return &row;
  return nullptr;
}

void row_of(Ui& ui, const Screen& screen, const report::Row& row, const std::vector<report::Section>* beside) {
  const report::Row* other = beside != nullptr ? same_row(*beside, row) : nullptr;
  std::string hover = row.meaning;
  if (const std::string more = finding_words(row.key); !more.empty()) hover += (hover.empty() ? "" : "\n") + more;
  if (!row.band.empty()) hover += "\nFriction, path to settled: " + row.band;
  std::string second;
  if (beside != nullptr) second = other != nullptr ? other->value : "-";
  const bool stale = !screen.seats[0].current || (beside != nullptr && !screen.seats[1].current);
  ui.value_row("finding." + (row.key.empty() ? row.name : row.key), row.name, row.value, hover, stale, second);
  if (!row.band.empty() && row.band != "unchanged") {
    ui.words("band." + row.key, "friction  " + row.band, ui.theme.small, ink::quiet);
    ui.explain("Friction as it built up on the way in, and after it has settled by small movements.");
  }
  band_line(ui, screen, row, other);
}

/// The height on a way up or down that is shown.
void height(Ui& ui, const Solved& solved, std::optional<int> step) {
  if (solved.heights.empty()) return;
  const bool down = solved.position == stance::Position::roll_down;
  const report::Grid grid = report::heights_grid(down ? "On the way down" : "On the way up", solved.heights);
  ui.title(grid.title);
  const auto& row = grid.rows[solved.at(step)];
  for (std::size_t c = 0; c < row.size(); ++c)
    ui.value_row("height." + std::to_string(c), grid.columns[c], row[c], finding_words("height." + grid.columns[c]),
                 false);
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

std::string second_title(const Screen& screen) { return "Second view: " + side_words(screen.seats[1]); }

void tables(Ui& ui, const findings::Findings& findings, const std::string& seat) {
  toe_table(ui, findings, "toes" + seat);
  region_table(ui, findings, "regions" + seat);
}

/// Where there is nothing to tell of the first, the other is told by itself.
void only_second(Ui& ui, const Screen& screen) {
  const SeatView& seat = screen.seats[1];
  ui.title(second_title(screen));
  for (const report::Section& section : report::sections(*seat.told)) {
    ui.title(section.title);
    for (const report::Row& row : section.rows)
      ui.value_row("finding.1." + (row.key.empty() ? row.name : row.key), row.name, row.value, row.meaning,
                   !seat.current);
  }
  tables(ui, *seat.told, ".1");
}

}  // namespace

void findings_panel(Ui& ui, Screen& screen) {
  const SeatView& seat = screen.seats[0];
  const bool two = screen.document.subject.side_by_side;
  const std::string side = side_words(seat);
  ui.words("findings.title", two || side.empty() ? "Findings" : "Findings, " + side, ui.theme.title);
  ui.toggle("band", "Friction range",
            "Cycles the load until friction has settled and gives both answers, before and after; takes a few times as "
            "long.",
            screen.document.look.band);
  doubts_controls(ui, screen);
  trying(ui, screen);
  ImGui::BeginChild("findings", {0, 0}, false,
                    ImGuiWindowFlags_AlwaysVerticalScrollbar | ImGuiWindowFlags_NavFlattened);
  visit_words(ui, screen);
  if (seat.solved && seat.current)
    for (const Fact& fact : facts(seat.solved->findings))
      ui.judged(fact.id, fact.holds ? Mark::good : Mark::unsuitable, fact.words, finding_words(fact.id));
  if (seat.solved && seat.current && !seat.solved->error) {
    verdicts(ui, screen);
    what_helps(ui, screen);
  }
  const Solved* second = two ? screen.shown(1) : nullptr;
  if (second != nullptr && !second->shown()) second = nullptr;
  if (seat.solved == nullptr || !seat.solved->shown()) {
    not_there(ui, seat);
    if (second != nullptr) only_second(ui, screen);
    ImGui::EndChild();
    return;
  }
  std::vector<report::Section> beside;
  if (second != nullptr) beside = report::sections(*screen.seats[1].told);
  if (two)
    ui.words("findings.views",
             fmt::format("First view: {}; second view: {}", side_words(seat), side_words(screen.seats[1])),
             ui.theme.small, ink::quiet);
  height(ui, *seat.solved, screen.document.look.step);
  for (const report::Section& section : report::sections(*seat.told)) {
    ui.title(section.title);
    for (const report::Row& row : section.rows) row_of(ui, screen, row, two ? &beside : nullptr);
  }
  if (two) ui.title("First view: " + side_words(seat));
  tables(ui, *seat.told, "");
  if (second != nullptr) {
    ui.title(second_title(screen));
    tables(ui, *screen.seats[1].told, ".1");
  } else if (two) {
    not_there(ui, screen.seats[1]);
  }
  how_sure_lines(ui, *seat.told);
  ui.title("What this rests on");
  for (const report::Row& row : report::basis(seat.solved->findings)) {
    ui.words("basis." + row.key, row.name + ": " + row.value, ui.theme.small, ink::quiet);
    ui.explain(finding_words(row.key));
  }
  for (const std::string& limit : seat.solved->findings.limits) ui.words("", limit, ui.theme.small, ink::quiet);
  ImGui::EndChild();
}

}  // namespace aplomb::viewer
