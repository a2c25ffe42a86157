// Several states in words: key numbers, grid, tables, JSON.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/sequence.h"

#include <fmt/format.h>

#include "aplomb/report/json.h"
#include "aplomb/report/table.h"
#include "columns.h"
#include "quantity.h"
#include "step_lines.h"

namespace aplomb::report {

namespace {

using findings::Findings;
using findings::Number;

std::string cell(const Number& value, const Quantity& quantity) { return value ? text(*value, quantity) : "-"; }

}  // namespace

std::vector<std::string> key_lines(const Findings& f) {
  std::vector<std::string> lines;
  const auto add = [&](const char* name, const Number& value, const Quantity& quantity) {
    if (value && lines.size() < 3) lines.push_back(fmt::format("{} {}", name, text(*value, quantity)));
  };
  if (f.rise) lines.push_back(f.rise->rolls_through ? "rolls through" : "does not roll through");
  add("toe room", f.toe_room_mm, mm_signed);
  add("heel slack", f.heel_slack_mm, mm_signed);
  add("sink", f.sink_mm, mm_signed);
  add("margin", f.plumb.margin_mm, mm_signed);
  add("depth", f.depth_mm, mm_signed);
  add("peak", f.peak_kPa, kPa);
  return lines;
}

std::vector<Step> way_down_steps(const Findings& findings, std::vector<findings::Scene> scenes) {
  std::vector<Step> steps;
  const Grid grid = way_down_grid(findings);
  for (std::size_t i = 0; i < scenes.size(); ++i) {
    const auto& row = grid.rows[i];
    steps.push_back({std::move(scenes[i]), "heel " + row[0], {row[1] + " on the floor", "heel slack " + row[2]}});
  }
  return steps;
}

io::Result<void> write_sequence_json(const std::string& target, const std::vector<Sheet>& sheets) {
  io::Json list = io::Json::array();
  for (const Sheet& sheet : sheets) {
    if (auto checked = check_finite(sheet.findings); !checked) return checked;
    list.push_back(to_json(sheet.findings));
  }
  return io::write_json(target, list);
}

Grid sequence_grid(const std::vector<Sheet>& sheets) {
  Grid grid{"Position by position",
            {"Position", "load", "toe room", "heel slack", "depth", "sink", "crowding", "peak", "solved"},
            {}};
  for (const Sheet& sheet : sheets) {
    const Findings& f = sheet.findings;
    grid.rows.push_back({f.position, text(f.load_N, newton), cell(f.toe_room_mm, mm_signed),
                         cell(f.heel_slack_mm, mm_signed), cell(f.depth_mm, mm_signed), cell(f.sink_mm, mm_signed),
                         cell(f.crowding_index, percent_of_one), cell(f.peak_kPa, kPa), f.converged ? "yes" : "no"});
  }
  return grid;
}

std::string sequence_table(const std::vector<Sheet>& sheets) {
  std::string out = grid_text(sequence_grid(sheets));
  out.erase(0, 1);
  for (const Sheet& sheet : sheets) out += "\n" + table(sheet.findings);
  return out;
}

std::filesystem::path picture_of_position(const std::filesystem::path& file, const std::string& position) {
  return file.parent_path() / fmt::format("{}-{}{}", file.stem().string(), position, file.extension().string());
}

}  // namespace aplomb::report
