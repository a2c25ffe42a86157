// What pages are printed on.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace aplomb::report {

enum class Paper { a4, letter };  ///< ISO 216, 210 x 297 mm; ANSI, 8.5 x 11 in

/// Standing, points.
struct PaperSize {
  double width, height;
};

inline PaperSize size_of(Paper paper) {
  constexpr double points_per_mm = 72 / 25.4;
  return paper == Paper::a4 ? PaperSize{210 * points_per_mm, 297 * points_per_mm} : PaperSize{8.5 * 72, 11 * 72};
}

}  // namespace aplomb::report
