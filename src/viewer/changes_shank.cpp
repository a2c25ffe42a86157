// The shank's table: as changes, and as hands work on it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "changes_parts.h"

namespace aplomb::viewer {

using shoe::StiffnessPoint;

namespace {

constexpr io::Range from_heel_range{0, 340}, table_EI_range{0.001, 2};

}  // namespace

io::Result<void> apply_table(const Changes& numbers, shoe::ShoeParameters& parameters) {
  const auto points = numbers.find("shank_stiffness.points");
  if (points == numbers.end()) return {};
  double count = 0;
  if (auto done = put(count, points->first, points->second, {0, most_shank_points}); !done) return done;
  std::vector<StiffnessPoint> table(static_cast<std::size_t>(count));
  for (std::size_t i = 0; i < table.size(); ++i) {
    const std::string at = fmt::format("{}{}.from_heel_mm", table_prefix, i + 1),
                      EI = fmt::format("{}{}.EI_Nm2", table_prefix, i + 1);
    if (!numbers.contains(at)) return no_such(at);
    if (!numbers.contains(EI)) return no_such(EI);
    if (auto done = put(table[i].from_heel_mm, at, numbers.at(at), from_heel_range); !done) return done;
    if (auto done = put(table[i].EI_Nm2, EI, numbers.at(EI), table_EI_range); !done) return done;
  }
  parameters.shank_EI_table = std::move(table);
  return {};
}

Changes table_changes(const std::vector<StiffnessPoint>& table) {
  Changes changes{{"shank_stiffness.points", static_cast<double>(table.size())}};
  for (std::size_t i = 0; i < table.size(); ++i) {
    changes[fmt::format("{}{}.from_heel_mm", table_prefix, i + 1)] = table[i].from_heel_mm;
    changes[fmt::format("{}{}.EI_Nm2", table_prefix, i + 1)] = table[i].EI_Nm2;
  }
  return changes;
}

void erase_table(Changes& changes) {
  std::erase_if(changes, [](const auto& change) { return change.first.starts_with(table_prefix); });
}

double shank_EI_at(const shoe::ShoeParameters& parameters, double from_heel_mm) {
  const auto& table = parameters.shank_EI_table;
  if (table.empty()) return parameters.shank_EI_Nm2;
  const auto after =
      std::find_if(table.begin(), table.end(), [&](const auto& p) { return p.from_heel_mm > from_heel_mm; });
  if (after == table.begin()) return table.front().EI_Nm2;
  if (after == table.end()) return table.back().EI_Nm2;
  const StiffnessPoint &a = *(after - 1), &b = *after;
  const double share = (from_heel_mm - a.from_heel_mm) / (b.from_heel_mm - a.from_heel_mm);
  return a.EI_Nm2 + share * (b.EI_Nm2 - a.EI_Nm2);
}

std::vector<StiffnessPoint> started_table(const shoe::ShoeParameters& parameters) {
  const double length = std::floor(parameters.inner_length_mm - parameters.sole_edge_mm);
  std::vector<StiffnessPoint> table;
  for (int i = 0; i < 4; ++i) {
    const double at = std::round(length * i / 3);
    table.push_back({at, shank_EI_at(parameters, at)});
  }
  return table;
}

void add_point(std::vector<StiffnessPoint>& table) {
  std::size_t widest = 0;
  double gap = 0;
  for (std::size_t i = 0; i + 1 < table.size(); ++i)
    if (const double here = table[i + 1].from_heel_mm - table[i].from_heel_mm; here > gap) gap = here, widest = i;
  if (gap < 4) return;
  const StiffnessPoint &a = table[widest], &b = table[widest + 1];
  const StiffnessPoint middle{0.5 * (a.from_heel_mm + b.from_heel_mm), 0.5 * (a.EI_Nm2 + b.EI_Nm2)};
  table.insert(table.begin() + static_cast<std::ptrdiff_t>(widest) + 1, middle);
}

void skive_heel_end(std::vector<StiffnessPoint>& table, double length_mm) {
  constexpr double thinned = 0.8;  // [G] what a blade takes off in one go
  for (StiffnessPoint& point : table)
    if (point.from_heel_mm <= length_mm / 3 + 1)
      point.EI_Nm2 = std::max(table_EI_range.min, point.EI_Nm2 * thinned * thinned * thinned);
}

}  // namespace aplomb::viewer
