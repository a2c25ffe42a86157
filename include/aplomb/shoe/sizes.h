// Shoe sizes by published standards, and grading one shoe into a range of lengths and breadths.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/shoe/parameters.h"

namespace aplomb::shoe {

/// ISO 9407 (Mondopoint): a size is the length and breadth in mm of the foot that the shoe is to fit, barefoot, weight
/// equal on both feet; lengths in steps of 5 mm.
struct MondopointSize {
  int length_mm = 0;
  int breadth_mm = 0;
  bool operator==(const MondopointSize&) const = default;
};
inline constexpr int mondopoint_step_mm = 5;

/// Nearest size; the breadth is rounded to whole mm. Pre: finite, > 0.
MondopointSize mondopoint_size(double foot_length_mm, double foot_breadth_mm);
/// "240/90".
std::string designation(const MondopointSize& size);

/// Length intervals of other systems (ISO/TS 19407): continental 2/3 cm, and the barleycorn of 1/3 inch.
inline constexpr double continental_interval_mm = 20.0 / 3;
inline constexpr double barleycorn_interval_mm = 25.4 / 3;
/// Informal continental and British numbers of a foot length (1.5 cm + 2 and 3 in - 23): for talking, not for ordering.
double continental_number(double foot_length_mm);
double british_number(double foot_length_mm);

/// The same shoe for another foot: lengths along the foot grow with the inner length; breadths, crown and platform with
/// the ball breadth; radii, thicknesses, stiffness, angles and forces stay (one stack and one pattern serve a range).
/// The inner-length allowances of a range are the maker's, so both numbers are inner dimensions. Errors: as check().
io::Result<ShoeParameters> grade(const ShoeParameters& base, double inner_length_mm, double ball_breadth_mm);

/// A range of `base`: every inner length from..to in steps of 5 mm with every one of `ball_breadths_mm`; length by
/// length.
io::Result<std::vector<ShoeParameters>> grade_range(const ShoeParameters& base, double from_length_mm,
                                                    double to_length_mm, const std::vector<double>& ball_breadths_mm);

}  // namespace aplomb::shoe
