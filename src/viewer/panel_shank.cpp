// The shank's stiffness along its length: a table of points, moved, thinned, added and taken out.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "changes.h"
#include "number_rows.h"

namespace aplomb::viewer {

namespace {

/// Sliders of a point cannot pass its neighbours.
bool point_rows(Ui& ui, Screen& screen, std::vector<shoe::StiffnessPoint>& table, std::size_t i, bool changed) {
  shoe::StiffnessPoint& point = table[i];
  std::map<std::string, double> now;
  NumberRow at{.id = fmt::format("shoe.shank_stiffness.{}.from_heel_mm", i + 1),
               .name = fmt::format("Point {}, from the heel", i + 1),
               .hover = "Where along the sole, from the rear end of the heel seat."};
  at.value = point.from_heel_mm;
  at.low = i == 0 ? 0 : table[i - 1].from_heel_mm + 1;
  at.high = i + 1 < table.size() ? table[i + 1].from_heel_mm - 1 : std::max(300.0, point.from_heel_mm);
  set_units(at, "mm", screen.document.look.inches);
  at.origin = changed ? "changed" : "file";
  screen.dragging |= edit(ui, at, now, "at");
  NumberRow stiff{.id = fmt::format("shoe.shank_stiffness.{}.EI_Nm2", i + 1),
                  .name = "   stiffness there",
                  .hover = "Bending stiffness of shank and sole, dry and new; straight between the points."};
  stiff.value = point.EI_Nm2;
  stiff.low = 0.001, stiff.high = std::max(0.3, point.EI_Nm2);
  stiff.unit = "N m\u00b2", stiff.decimals = 3;
  stiff.origin = at.origin;
  screen.dragging |= edit(ui, stiff, now, "EI");
  if (now.contains("at")) point.from_heel_mm = now["at"];
  if (now.contains("EI")) point.EI_Nm2 = now["EI"];
  return !now.empty();
}

}  // namespace

void shank_table(Ui& ui, Screen& screen, const shoe::ShoeParameters& now) {
  Source& source = screen.choice().shoe;
  std::vector<shoe::StiffnessPoint> table = now.shank_EI_table;
  const bool changed = source.changes.contains("shank_stiffness.points");
  const double length_mm = now.inner_length_mm - now.sole_edge_mm;
  bool touched = false;
  if (table.empty()) {
    if (ui.button("shoe.shank_table.make", "Stiffness along the length",
                  "A table in place of the one number: a shank that is softer or thinned in places.")) {
      table = started_table(now);
      touched = true;
    }
  } else {
    ui.title("Shank, along its length");
    for (std::size_t i = 0; i < table.size(); ++i) touched |= point_rows(ui, screen, table, i, changed);
    if (ui.button("shoe.shank_table.skive", "Skive heel end",
                  "The third at the heel thinned by a fifth: it keeps about half of its stiffness."))
      skive_heel_end(table, length_mm), touched = true;
    ui.flow("Add point");
    if (ui.button("shoe.shank_table.add", "Add point", "In the widest gap.",
                  {.enabled = table.size() < static_cast<std::size_t>(most_shank_points)}))
      add_point(table), touched = true;
    ui.flow("Remove point");
    if (ui.button("shoe.shank_table.remove", "Remove point",
                  "The last one; the last of all gives the one number back."))
      table.pop_back(), touched = true;
  }
  if (touched) {
    erase_table(source.changes);
    source.changes.merge(table_changes(table));
  }
  if (!changed) return;
  if (!table.empty()) ui.flow("Put back");
  if (ui.button("shoe.shank_table.put_back", "Put back", "As the file has it.")) erase_table(source.changes);
}

}  // namespace aplomb::viewer
