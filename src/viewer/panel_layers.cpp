// What lies between foot and shoe, and the shank's stiffness along its length.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "changes.h"
#include "number_rows.h"

namespace aplomb::viewer {

namespace {

struct LayerWord {
  const char *key, *name, *what;
  double most_mm;  ///< of the slider
};
constexpr LayerWord layer_words[] = {
    {"tights", "Tights", "Over the whole foot, not between the toes.", 3},
    {"padding.toes", "Padding, toes", "Round the toes.", 6},
    {"padding.toe_tips", "Padding, toe tips", "Under the tips, over the toes' padding.", 12},
    {"padding.ball", "Padding, ball", "Round the ball.", 6},
    {"padding.metatarsal_heads", "Padding, toe joints", "Under the metatarsal heads, over the ball's padding.", 8},
    {"padding.heel", "Padding, heel", "Behind and under the heel.", 8},
    {"spacer.hallux_second", "Spacer, big and second toe", "Between the toes.", 12},
    {"spacer.second_third", "Spacer, second and third", "Between the toes.", 10},
    {"spacer.third_fourth", "Spacer, third and fourth", "Between the toes.", 10},
    {"spacer.fourth_little", "Spacer, fourth and little", "Between the toes.", 10},
    {"tape.hallux", "Tape, big toe", "Round the toe.", 3},
    {"tape.second", "Tape, second toe", "Round the toe.", 3},
    {"tape.third", "Tape, third toe", "Round the toe.", 3},
    {"tape.fourth", "Tape, fourth toe", "Round the toe.", 3},
    {"tape.little", "Tape, little toe", "Round the toe.", 3}};

void layer_row(Ui& ui, Screen& screen, const LayerWord& word, shoe::ShoeParameters given) {
  Source& source = screen.choice().shoe;
  const std::string thick = std::string(word.key) + ".thickness_mm", soft = std::string(word.key) + ".modulus_MPa";
  const shoe::SoftLayer file = *layer_of(given.layers, word.key);
  const auto changed = [&](const std::string& key, double otherwise) {
    const auto it = source.changes.find(key);
    return it == source.changes.end() ? otherwise : it->second;
  };
  NumberRow row{.id = "shoe." + thick, .name = word.name, .hover = std::string(word.what) + " 0: none."};
  row.value = changed(thick, file.thickness_mm);
  row.low = 0, row.high = std::max(word.most_mm, row.value);
  set_units(row, "mm", screen.document.look.inches);
  row.changed = source.changes.contains(thick);
  row.origin = file.thickness_mm > 0 ? "file" : "none";
  screen.dragging |= edit(ui, row, source.changes, thick);
  if (row.value <= 0) return;
  const double usual = file.modulus_MPa > 0 ? file.modulus_MPa : usual_modulus_MPa(word.key);
  NumberRow stiff{
      .id = "shoe." + soft, .name = "   its stiffness", .hover = "Modulus. Where a file has none: a guess."};
  stiff.value = changed(soft, usual);
  stiff.low = std::max(modulus_range.min, 0.2 * usual), stiff.high = std::max(5 * usual, stiff.value);
  stiff.unit = "MPa", stiff.decimals = 2;
  stiff.changed = source.changes.contains(soft);
  stiff.origin = "guess";
  screen.dragging |= edit(ui, stiff, source.changes, soft);
}

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

void layer_numbers(Ui& ui, Screen& screen, const shoe::ShoeParameters& given) {
  const char* titles[] = {"Tights and padding", "Spacers", "Tape"};
  int title = 0;
  for (const LayerWord& word : layer_words) {
    const std::string_view key = word.key;
    if (title == 0 || (title == 1 && key.starts_with("spacer")) || (title == 2 && key.starts_with("tape")))
      ui.title(titles[title++]);
    layer_row(ui, screen, word, given);
  }
}

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
