// Where everything goes on the sheet of a foot: views, dimension lines, tags, the grid of toes.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <string>
#include <vector>

#include "aplomb/foot/portrait.h"
#include "dimension.h"
#include "views.h"

namespace aplomb::report {

/// A4, lying (ISO 216: sides as 1 to the root of 2).
inline constexpr double foot_sheet_width = 2000, foot_sheet_height = 1414;

/// What stands on the tag of a number.
struct TagWords {
  std::string name, value;
  std::string remark;  ///< one word; mostly empty
  bool solid = true;
  std::string cell;  ///< in the grid of toes; empty: none
};
/// Of every number that gets a tag, by Number.
using Words = std::map<int, TagWords>;

struct FootPanel {
  std::string title;
  View view;
  bool pointed = false;
};

struct FootLayout {
  std::vector<FootPanel> panels;
  std::vector<Stroke> strokes;
  std::vector<Tag> tags;
  Rect grid;  ///< panel of the toes' numbers
  std::vector<Tag> cells;
  Rect notes;  ///< what is left free under the panels
};

/// Tags lie inside their panels and touch neither each other nor the sheet's edge. Numbers without words get no tag and
/// no line.
FootLayout lay_out(Canvas& canvas, const foot::Portrait& portrait, const Words& words);

}  // namespace aplomb::report
