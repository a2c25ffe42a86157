// The lowest line: what this never is, and how far solving is.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "aplomb/report/rows.h"
#include "panels.h"

namespace aplomb::viewer {

namespace {

void cancel_button(Ui& ui, Screen& screen) {
  ImGui::SameLine();
  if (ImGui::SmallButton("Cancel###cancel")) screen.asked.cancel = true;
  ui.note_last({.id = "cancel", .kind = "button", .text = "Cancel"});
  ui.explain("Stops solving. Esc");
}

/// Where the line is full: what must not be missed, and the way to stop.
void short_status(Ui& ui, Screen& screen) {
  const SeatView& seat = screen.seats[0];
  const bool bad = seat.solved && seat.current && (seat.solved->error || !seat.solved->findings.converged);
  const std::string state = screen.work.busy ? fmt::format("{:.0f} %", 100 * screen.work.fraction)
                            : bad            ? "no answer"
                                             : "";
  if (state.empty()) return ImGui::PopFont();
  ImGui::SameLine();
  ui.words("status", state, ui.theme.small, bad ? ink::alarm : ink::quiet);
  if (screen.work.busy) cancel_button(ui, screen);
  ImGui::PopFont();
}

}  // namespace

void status_panel(Ui& ui, Screen& screen) {
  const float width = ImGui::GetContentRegionAvail().x;
  const bool narrow = width < ui.theme.px(800);
  const std::string caution = narrow
                                  ? "Never a clearance to dance on pointe."
                                  : "An estimate to talk over, never a clearance to dance on pointe; fitter, teacher "
                                    "and clinician decide.";
  ui.words("caution", caution, ui.theme.small, ink::text);
  ui.explain(fmt::format("{}", fmt::join(report::cautions(), "\n")));
  const SeatView& seat = screen.seats[0];
  std::string state = "solving";
  if (screen.work.busy)
    state = fmt::format("{} {:.0f} %: {}", screen.dragging ? "quick" : "solving", 100 * screen.work.fraction,
                        screen.work.what);
  else if (seat.solved && seat.current && seat.solved->error)
    state = "cannot be solved with these numbers";
  else if (seat.solved && seat.current)
    state = seat.solved->findings.converged ? fmt::format("converged, {:.0f} N, {:.1f} s", seat.solved->findings.load_N,
                                                          seat.solved->wall_ms / 1000)
                                            : "not converged";
  ImGui::PushFont(ui.theme.small);
  const float words = ImGui::CalcTextSize(state.c_str()).x;
  if (narrow && width - words < ui.theme.px(330)) return short_status(ui, screen);
  ImGui::SameLine(std::max(width - words - (screen.work.busy ? ui.theme.px(76) : 0), ui.theme.px(200)));
  ui.words("status", state, ui.theme.small, ink::quiet);
  if (screen.work.busy) cancel_button(ui, screen);
  ImGui::PopFont();
}

}  // namespace aplomb::viewer
