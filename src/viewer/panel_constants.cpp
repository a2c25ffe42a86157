// The constants of tissue, joints and hold, with their marks and the words of their file.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "changes.h"
#include "number_rows.h"
#include "words.h"

namespace aplomb::viewer {

namespace {

/// "guess" from "[G] ...".
std::string origin_of(const std::string& note) {
  return note.starts_with("[S]") ? "source" : note.starts_with("[C]") ? "computed" : "guess";
}

}  // namespace

void constant_numbers(Ui& ui, Screen& screen) {
  std::map<std::string, double>& changes = screen.choice().constants;
  ui.words("constants.words",
           "The same for every foot. A guess is worth varying: what hangs on it is not known. Hover for the source.",
           ui.theme.small, ink::quiet);
  stance::Constants given = screen.constants;
  for (const ConstantGroup& group : constant_groups()) {
    ui.title(group.title);
    for (const ConstantWord& word : group.words) {
      const double* original = constant_of(given, word.key);
      if (original == nullptr) continue;
      const std::string key = word.key;
      const auto note = screen.constant_notes.find(key.substr(0, key.find('.')));
      const std::string words = note == screen.constant_notes.end() ? "" : note->second;
      NumberRow row{.id = "constant." + key, .name = word.name, .hover = words.empty() ? word.name : words};
      const auto change = changes.find(key);
      row.changed = change != changes.end();
      row.value = row.changed ? change->second : *original;
      const io::Range range = constant_range(key);
      // A quarter to four times what is taken says what hangs on it; the file may go further.
      row.low = std::min(row.value, std::max(range.min, *original / 4));
      row.high = std::max(row.value, std::min(range.max, *original * 4));
      row.decimals = decimals_of(*original);
      set_units(row, word.unit, screen.document.look.inches);
      row.origin = origin_of(words);
      screen.dragging |= edit(ui, row, changes, key);
    }
  }
}

}  // namespace aplomb::viewer
