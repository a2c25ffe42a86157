// The foot's numbers: those of its card, of a scan, and what is usual for the rest.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "aplomb/foot/numbers.h"
#include "aplomb/report/foot_rows.h"
#include "number_rows.h"

namespace aplomb::viewer {

namespace {

/// Slider range of a foot's number: a few SD of its doubt, or of the number itself where that is little.
double foot_reach(const foot::Measurement& m, const std::string& unit) {
  const double least = unit == "mm" ? std::max(4.0, 0.08 * m.value) : unit == "deg" ? 12 : 0.4 * m.value;
  return std::max(least, 3 * m.sd);
}

/// The load, from mass and position where it is not set.
void load_row(Ui& ui, Screen& screen, const Solved& solved) {
  Choice& choice = screen.choice();
  const bool hangs = solved.position == stance::Position::on_box;
  NumberRow row{.id = "foot.load_N", .name = "Load on this foot", .hover = "Vertical, at the ankle."};
  row.hover += hangs ? " On the box without weight a hand's push is taken (Constants)." : "";
  row.value = choice.load_N.value_or(solved.findings.load_N);
  row.low = std::min(10.0, row.value), row.high = std::max(1200.0, row.value);
  row.unit = "N", row.decimals = 0;
  row.origin = hangs ? "hand" : solved.foot->mass_kg ? "mass" : "not known";
  row.changed = choice.load_N.has_value();
  row.enabled = !hangs;
  std::map<std::string, double> change;
  if (choice.load_N) change["load_N"] = *choice.load_N;
  screen.dragging |= edit(ui, row, change, "load_N");
  choice.load_N = change.empty() ? std::nullopt : std::optional(change["load_N"]);
}

/// A scan says nothing of the body's mass, and nothing is guessed.
void mass_row(Ui& ui, Screen& screen, const Solved& solved) {
  Source& source = screen.choice().foot;
  const auto& mass = solved.foot->mass_kg;
  const bool changed = source.changes.contains("mass_kg");
  const NumberRow row{.id = "foot.mass",
                      .name = "Body mass",
                      .hover = "Of it follows the load on this foot.",
                      .value = changed ? source.changes.at("mass_kg") : mass.value_or(50),
                      .low = 20,
                      .high = 120,
                      .unit = "kg",
                      .origin = mass ? "file" : "not said",
                      .changed = changed};
  screen.dragging |= edit(ui, row, source.changes, "mass_kg");
}

}  // namespace

void foot_numbers(Ui& ui, Screen& screen) {
  Source& source = screen.choice().foot;
  const Solved* solved = screen.shown(screen.active_seat);
  if (solved == nullptr || !solved->foot)
    return ui.words("foot.none", "The foot's numbers come when it is fitted.", ui.theme.body, ink::quiet);
  const bool card = source.is_card();
  if (!card)
    ui.words("foot.fixed", "The shape of a scan or a foot file is fixed. Open its card to change it.", ui.theme.small,
             ink::quiet);
  ui.title("Weight on it");
  if (!card) mass_row(ui, screen, *solved);
  load_row(ui, screen, *solved);
  for (const report::FootSection& section : report::foot_sections(*solved->foot, {})) {
    ui.title(section.title);
    for (const report::FootRow& number : section.rows) {
      const auto found = solved->foot->measurements.find(number.key);
      if (found == solved->foot->measurements.end() || (!card && number.key == "mass_kg")) continue;
      const foot::NumberInfo& info = foot::number_table()[static_cast<std::size_t>(number.number)];
      const foot::Measurement& m = found->second;
      NumberRow row{.id = "foot." + number.key, .name = number.name, .hover = info.how};
      if (!number.band.empty()) row.hover += fmt::format("\n90 of 100: {}", number.with_band());
      row.changed = source.changes.contains(number.key);
      row.value = row.changed ? source.changes.at(number.key) : m.value;
      const double reach = foot_reach(m, number.unit);
      row.low = std::max(info.range.min, m.value - reach), row.high = std::min(info.range.max, m.value + reach);
      row.low = std::min(row.low, row.value), row.high = std::max(row.high, row.value);
      set_units(row, number.unit, screen.document.look.inches);
      row.origin = number.source;
      row.enabled = card;
      screen.dragging |= edit(ui, row, source.changes, number.key);
    }
  }
}

}  // namespace aplomb::viewer
