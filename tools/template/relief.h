// What shows through the skin between the tables' sections: bones, tendons, pads, and the hollows beside them.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "tables.h"

namespace aplomb::template_tool {

/// Height of the skin over the lofted surface, mm; + is outward. Smooth, and 0 away from every stroke.
class Relief {
 public:
  Relief();
  double operator()(const Vec3& p) const;

 private:
  struct Knot {
    Vec3 at;
    double sigma_mm, height_mm;
  };
  /// Bells along a line that add up to a soft ridge (or furrow); a single one is a bump (or dent).
  struct Stroke {
    std::vector<Knot> bells;
    Vec3 low, high;  ///< box outside which it is nothing
  };
  void add(const std::vector<Knot>& knots);
  std::vector<Stroke> strokes_;
};

}  // namespace aplomb::template_tool
