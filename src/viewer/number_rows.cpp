// A number is changed, put back, and shown as fine as it is taken.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "number_rows.h"

#include <cmath>

namespace aplomb::viewer {

void set_units(NumberRow& row, const std::string& unit, bool inches) {
  constexpr double mm_per_inch = 25.4;
  row.unit = unit;
  if (unit == "mm" && inches) row.unit = "in", row.factor = 1 / mm_per_inch, row.decimals = 3;
}

int decimals_of(double value) {
  const double size = std::abs(value);
  return size == 0 ? 2 : size < 0.1 ? 4 : size < 1 ? 3 : size < 10 ? 2 : size < 100 ? 1 : 0;
}

bool edit(Ui& ui, const NumberRow& row, std::map<std::string, double>& changes, const std::string& key) {
  double value = row.value;
  bool put_back = false;
  const SliderMove move = ui.number(row, value, put_back);
  if (move.changed) changes[key] = value;
  if (put_back) changes.erase(key);
  return move.dragging;
}

}  // namespace aplomb::viewer
