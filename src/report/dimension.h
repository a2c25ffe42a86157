// Dimension lines and their tags, as on a technical drawing, in canvas units.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "canvas.h"

namespace aplomb::report {

/// A number's name and value beside a drawing. What was measured stands in a solid box, what is estimated does not.
struct Tag {
  int number = 0;
  std::string name;    ///< small, above
  std::string value;   ///< below
  std::string remark;  ///< a word of warning under both; mostly empty
  bool solid = true;
  Rect rect;
};

/// A line of a dimension.
struct Stroke {
  enum class Kind {
    dimension,  ///< with an arrowhead at both ends
    extension,  ///< thin, from where the caliper touches to the dimension line
    tape,       ///< thick, over the skin
    ray,        ///< plain, over the skin
    leader      ///< thin, from a line to its tag
  };
  Kind kind = Kind::dimension;
  bool solid = true;  ///< else dashed, with open arrowheads
  std::vector<Vec2> points;
};

/// Size of a tag that holds its words.
Vec2 tag_size(Canvas& canvas, const Tag& tag);

void draw(Canvas& canvas, const Tag& tag);
void draw(Canvas& canvas, const Stroke& stroke);

/// Middles along a line from `low` to `high`, in the order of `wished` and as near to it as goes, for things of these
/// sizes that must not touch. When they do not fit at all they are spread evenly.
std::vector<double> spread(const std::vector<double>& wished, const std::vector<double>& sizes, double low, double high,
                           double gap);

}  // namespace aplomb::report
