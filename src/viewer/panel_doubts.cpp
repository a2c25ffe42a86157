// The 5 to 95 % bands among the findings: asked for, on their way, stopped, not to be had, and told.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <cstdlib>

#include "aplomb/report/rows.h"
#include "doubt_words.h"
#include "panels.h"

namespace aplomb::viewer {

void doubts_controls(Ui& ui, Screen& screen) {
  Look& look = screen.document.look;
  ui.toggle("doubts", "How sure (5 to 95 %)",
            "Between what values each number lies with 90 %, given what the card leaves open of the foot and the "
            "constants that are guesses: she is stood many times with other plausible ones. Takes a minute or two, "
            "rolling down far longer; one change of a number and it begins anew. Friction is no part of it. U",
            look.doubts);
  if (!look.doubts) return;
  const float width = ImGui::GetContentRegionAvail().x;
  if (screen.doubts && screen.doubts->running) {
    ui.words("doubts.progress", fmt::format("{:.0f} %: {}", 100 * screen.doubts->fraction, screen.doubts->what),
             ui.theme.small, ink::quiet, width);
    ui.progress(screen.doubts->fraction, width);
    if (ui.button("doubts.cancel", "Cancel", "Stops it; other answers stay. Esc")) look.doubts = false;
  } else if (screen.doubts) {
    ui.words("doubts.waiting", "How sure: " + screen.doubts->what, ui.theme.small, ink::quiet, width);
  }
  for (std::size_t i = 0; i < static_cast<std::size_t>(screen.document.subject.seats()); ++i)
    if (const auto& error = screen.seats[i].no_doubts)
      ui.words(fmt::format("doubts.error.{}", i + 1), "How sure is not known: " + error_words(*error), ui.theme.small,
               ink::alarm, width);
}

void band_line(Ui& ui, const Screen& screen, const report::Row& row, const report::Row* second) {
  const bool inches = screen.document.look.inches;
  const auto first_band = band_text(row.value, row.doubt, inches);
  const auto second_band = second != nullptr ? band_text(second->value, second->doubt, inches) : std::nullopt;
  if (row.doubt.empty() && !second_band) return;
  std::string words = "5 to 95 %  " + (first_band ? in_brackets(*first_band) : "not known");
  if (second_band)
    words += " | " + in_brackets(*second_band);
  else if (first_band)
    words += first_band->quantiles ? ", quantiles" : ", expansion";
  ui.words("", words, ui.theme.small, ink::quiet);
  ScreenItem item{.id = "doubt." + row.key, .kind = "band", .text = words};
  if (first_band) {
    item.low = std::strtod(first_band->low.c_str(), nullptr),
    item.high = std::strtod(first_band->high.c_str(), nullptr);
    item.unit = first_band->unit;
  }
  ui.note_last(std::move(item));
  const auto& told = screen.seats[0].told;
  if (told && told->doubts) ui.explain(band_meaning(*told->doubts, row.key));
}

void how_sure_lines(Ui& ui, const findings::Findings& f) {
  const std::vector<std::string> lines = report::doubt_lines(f);
  if (lines.empty()) return;
  ui.title("How sure (5 to 95 %)");
  int number = 0;
  for (const std::string& line : lines)
    ui.words(fmt::format("doubts.line.{}", ++number), line, ui.theme.small, ink::text,
             ImGui::GetContentRegionAvail().x);
}

}  // namespace aplomb::viewer
