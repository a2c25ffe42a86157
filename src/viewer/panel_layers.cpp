// What lies between foot and shoe: tights, padding, spacers and tape.
// SPDX-License-Identifier: GPL-3.0-or-later
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

}  // namespace aplomb::viewer
