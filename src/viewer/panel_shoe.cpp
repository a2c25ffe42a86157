// The shoe's numbers, its cut and its throat.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "changes.h"
#include "number_rows.h"
#include "words.h"

namespace aplomb::viewer {

namespace {

int decimals_for(double reach, const std::string& unit) {
  if (unit == "mm" || unit == "deg" || unit == "N" || unit == "h") return 1;
  return reach > 0 && reach < 0.1 ? 3 : 2;
}

/// One of a few words, as buttons in a row; what the file says can be put back.
void choose(Ui& ui, Source& source, const char* key, const char* name, std::initializer_list<const char*> words,
            const std::string& given, const char* hover) {
  ImGui::AlignTextToFramePadding();
  ImGui::TextUnformatted(name);
  const auto changed = source.words.find(key);
  const std::string now = changed == source.words.end() ? given : changed->second;
  for (const char* word : words) {
    ui.flow(word);
    if (ui.button(fmt::format("shoe.{}.{}", key, word), word, hover, {.selected = now == word})) {
      if (given == word)
        source.words.erase(key);
      else
        source.words[key] = word;
    }
  }
}

void cut_and_throat(Ui& ui, Source& source, const shoe::ShoeParameters& given) {
  ui.title("Cut");
  constexpr const char* cuts[] = {"straight", "right", "left"};
  choose(ui, source, "cut", "Cut", {"straight", "right", "left"}, cuts[static_cast<int>(given.cut)],
         "Straight serves either foot and has equal wings; the others may have unequal ones.");
  choose(ui, source, "throat", "Throat", {"round", "v"}, given.throat == shoe::Throat::v ? "v" : "round",
         "Shape of the opening over the dorsum.");
}

/// A straight cut has equal wings: the other one follows.
void keep_wings_equal(Source& source, const shoe::ShoeParameters& now, const std::string& key) {
  if (now.cut != shoe::Cut::straight || !key.starts_with("wing_") || !key.ends_with("al_mm")) return;
  const std::string other = key == "wing_medial_mm" ? "wing_lateral_mm" : "wing_medial_mm";
  if (const auto change = source.changes.find(key); change != source.changes.end())
    source.changes[other] = change->second;
  else
    source.changes.erase(other);
}

}  // namespace

void shoe_numbers(Ui& ui, Screen& screen) {
  Source& source = screen.choice().shoe;
  const ShoeFile& file = screen.shoe_files[static_cast<std::size_t>(screen.active_seat)];
  if (!file.given) return ui.words("shoe.none", "No shoe is open.", ui.theme.body, ink::quiet);
  const shoe::ShoeParameters& given = *file.given;
  shoe::ShoeParameters now = given;
  (void)apply(source.changes, source.words, now);  // what is wrong is told by the solver
  for (const ShoeGroup& group : shoe_groups()) {
    ui.title(group.title);
    for (const ShoeWord& word : group.words) {
      const auto field = std::find_if(shoe::number_fields().begin(), shoe::number_fields().end(),
                                      [&](const shoe::NumberField& f) { return std::string_view(f.key) == word.key; });
      if (field == shoe::number_fields().end()) continue;
      const double original = given.*(field->member);
      NumberRow row{.id = std::string("shoe.") + word.key, .name = word.name, .hover = word.what};
      row.value = now.*(field->member);
      row.low = word.reach > 0 ? std::max(field->range.min, original - word.reach) : field->range.min;
      row.high = word.reach > 0 ? std::min(field->range.max, original + word.reach) : field->range.max;
      row.low = std::min(row.low, row.value), row.high = std::max(row.high, row.value);
      row.decimals = decimals_for(word.reach, unit_of(word.key));
      set_units(row, unit_of(word.key), screen.document.look.inches);
      row.changed = source.changes.contains(word.key);
      row.origin = file.keys.contains(word.key) ? "file" : "usual";
      if (std::string_view(word.key) == "shank_EI_Nm2" && !now.shank_EI_table.empty())
        row.enabled = false, row.origin = "table";
      screen.dragging |= edit(ui, row, source.changes, word.key);
      keep_wings_equal(source, now, word.key);
    }
    if (group.extra == ShoeExtra::shank_table) shank_table(ui, screen, now);
    if (group.extra == ShoeExtra::cut) cut_and_throat(ui, source, given);
  }
  layer_numbers(ui, screen, given);
}

}  // namespace aplomb::viewer
