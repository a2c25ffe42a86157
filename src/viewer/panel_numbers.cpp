// Every number of the shoe and the foot, with unit, range and where it comes from.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <regex>

#include "aplomb/foot/numbers.h"
#include "aplomb/report/foot_rows.h"
#include "screen.h"
#include "words.h"

namespace aplomb::viewer {

namespace {

constexpr double mm_per_inch = 25.4;

void set_units(NumberRow& row, const std::string& unit, bool inches) {
  row.unit = unit;
  if (unit == "mm" && inches) row.unit = "in", row.factor = 1 / mm_per_inch, row.decimals = 3;
}

int decimals_for(double reach, const std::string& unit) {
  if (unit == "mm" || unit == "deg" || unit == "N" || unit == "h" || unit == "kg" || unit == "years") return 1;
  return reach > 0 && reach < 0.1 ? 3 : 2;
}

/// Handles one slider of a source; true while it is dragged.
bool edit(Ui& ui, NumberRow row, Source& source, const std::string& key) {
  double value = row.value;
  bool put_back = false;
  const SliderMove move = ui.number(row, value, put_back);
  if (move.changed) source.changes[key] = value;
  if (put_back) source.changes.erase(key);
  return move.dragging;
}

void shoe_numbers(Ui& ui, Screen& screen) {
  Source& source = screen.choice().shoe;
  const ShoeFile& file = screen.shoe_files[static_cast<std::size_t>(screen.active_seat)];
  const auto& original = file.given;
  if (!original) return ui.words("shoe.none", "No shoe is open.", ui.theme.body, ink::quiet);
  shoe::ShoeParameters now = *original;
  for (const shoe::NumberField& field : shoe::number_fields())
    if (const auto it = source.changes.find(field.key); it != source.changes.end()) now.*(field.member) = it->second;
  for (const ShoeGroup& group : shoe_groups()) {
    ui.title(group.title);
    for (const ShoeWord& word : group.words) {
      const auto field = std::find_if(shoe::number_fields().begin(), shoe::number_fields().end(),
                                      [&](const shoe::NumberField& f) { return std::string_view(f.key) == word.key; });
      if (field == shoe::number_fields().end()) continue;
      const double given = (*original).*(field->member);
      NumberRow row{.id = std::string("shoe.") + word.key, .name = word.name, .hover = word.what};
      row.value = now.*(field->member);
      row.low = word.reach > 0 ? std::max(field->range.min, given - word.reach) : field->range.min;
      row.high = word.reach > 0 ? std::min(field->range.max, given + word.reach) : field->range.max;
      row.low = std::min(row.low, row.value), row.high = std::max(row.high, row.value);
      row.decimals = decimals_for(word.reach, unit_of(word.key));
      set_units(row, unit_of(word.key), screen.document.look.inches);
      row.changed = source.changes.contains(word.key);
      row.origin = file.keys.contains(word.key) ? "file" : "usual";
      screen.dragging |= edit(ui, row, source, word.key);
    }
  }
}

/// Slider range of a foot's number: a few SD of its doubt, or of the number itself where that is little.
double foot_reach(const foot::Measurement& m, const std::string& unit) {
  const double least = unit == "mm" ? std::max(4.0, 0.08 * m.value) : unit == "deg" ? 12 : 0.4 * m.value;
  return std::max(least, 3 * m.sd);
}

void foot_numbers(Ui& ui, Screen& screen) {
  Source& source = screen.choice().foot;
  const Solved* solved = screen.shown(screen.active_seat);
  if (solved == nullptr || !solved->foot)
    return ui.words("foot.none", "The foot's numbers come when it is fitted.", ui.theme.body, ink::quiet);
  const bool card = source.is_card();
  if (!card)
    ui.words("foot.fixed", "A foot file's numbers are fixed. Open its card to change them.", ui.theme.small,
             ink::quiet);
  for (const report::FootSection& section : report::foot_sections(*solved->foot, {})) {
    ui.title(section.title);
    for (const report::FootRow& number : section.rows) {
      const auto found = solved->foot->measurements.find(number.key);
      if (found == solved->foot->measurements.end()) continue;
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
      screen.dragging |= edit(ui, row, source, number.key);
    }
  }
}

}  // namespace

ShoeFile read_shoe_file(const Source& source) {
  ShoeFile file{source.text, std::nullopt, {}};
  if (auto read = parameters_of({source.file, source.text})) file.given = std::move(*read);
  static const std::regex key("(^|\\n)[ \\t]*([A-Za-z_0-9]+)[ \\t]*=");
  for (std::sregex_iterator it(source.text.begin(), source.text.end(), key), end; it != end; ++it)
    file.keys.insert((*it)[2].str());
  return file;
}

void numbers_panel(Ui& ui, Screen& screen) {
  const Subject& subject = screen.document.subject;
  if (subject.side_by_side) {
    for (int seat = 0; seat < 2; ++seat) {
      if (seat > 0) ImGui::SameLine();
      const std::string label = seat == 0 ? "Left view" : "Right view";
      if (ui.button(fmt::format("seat.{}", seat), label, "Whose numbers are shown; files that are opened go there.",
                    {.selected = screen.active_seat == seat}))
        screen.active_seat = seat;
    }
  }
  if (ui.button("tab.shoe", "Shoe", "The numbers of the shoe.", {.selected = screen.tab == 0})) screen.tab = 0;
  ImGui::SameLine();
  if (ui.button("tab.foot", "Foot", "The numbers of the foot.", {.selected = screen.tab == 1})) screen.tab = 1;
  const Source& source = screen.tab == 0 ? screen.choice().shoe : screen.choice().foot;
  ui.words("source.file", std::filesystem::path(source.file).filename().string(), ui.theme.small, ink::quiet);
  ui.explain(source.file);
  ImGui::BeginChild("numbers", {0, 0}, false, ImGuiWindowFlags_AlwaysVerticalScrollbar);
  if (screen.tab == 0)
    shoe_numbers(ui, screen);
  else
    foot_numbers(ui, screen);
  ImGui::EndChild();
}

}  // namespace aplomb::viewer
