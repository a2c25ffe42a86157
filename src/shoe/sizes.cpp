// Mondopoint sizes and grading.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shoe/sizes.h"

#include <fmt/format.h>

#include <cmath>

namespace aplomb::shoe {

MondopointSize mondopoint_size(double foot_length_mm, double foot_breadth_mm) {
  return {mondopoint_step_mm * static_cast<int>(std::floor(foot_length_mm / mondopoint_step_mm + 0.5)),
          static_cast<int>(std::floor(foot_breadth_mm + 0.5))};
}

std::string designation(const MondopointSize& size) { return fmt::format("{}/{}", size.length_mm, size.breadth_mm); }

double continental_number(double foot_length_mm) { return foot_length_mm / continental_interval_mm + 2; }
double british_number(double foot_length_mm) { return foot_length_mm / barleycorn_interval_mm - 23; }

io::Result<ShoeParameters> grade(const ShoeParameters& base, double inner_length_mm, double ball_breadth_mm) {
  using P = ShoeParameters;
  ShoeParameters graded = base;
  const double along = inner_length_mm / base.inner_length_mm, across = ball_breadth_mm / base.ball_breadth_mm;
  for (double P::*member : {&P::ball_height_mm, &P::wing_medial_mm, &P::wing_lateral_mm, &P::vamp_length_mm,
                            &P::cap_length_mm, &P::sole_edge_mm, &P::back_seam_height_mm, &P::shank_length_mm,
                            &P::break_zone_from_mm, &P::break_zone_to_mm, &P::ribbon_from_heel_mm})
    graded.*member *= along;
  for (double P::*member :
       {&P::platform_breadth_mm, &P::platform_height_mm, &P::crown_height_mm, &P::heel_seat_breadth_mm})
    graded.*member *= across;
  for (StiffnessPoint& point : graded.shank_EI_table) point.from_heel_mm *= along;
  graded.inner_length_mm = inner_length_mm;
  graded.ball_breadth_mm = ball_breadth_mm;
  if (const auto good = check(graded); !good) return tl::unexpected(good.error());
  return graded;
}

io::Result<std::vector<ShoeParameters>> grade_range(const ShoeParameters& base, double from_length_mm,
                                                    double to_length_mm, const std::vector<double>& ball_breadths_mm) {
  if (!(from_length_mm <= to_length_mm) || !(to_length_mm - from_length_mm <= 300))
    return io::fail(
        {.field = "inner_length_mm",
         .message = fmt::format("a range from {:g} to {:g} mm cannot be graded", from_length_mm, to_length_mm),
         .remedy = "give the shorter length first, both in mm"});
  std::vector<ShoeParameters> range;
  const int steps = static_cast<int>(std::floor((to_length_mm - from_length_mm) / mondopoint_step_mm + 1e-9));
  for (int i = 0; i <= steps; ++i)
    for (const double breadth : ball_breadths_mm) {
      auto one = grade(base, from_length_mm + i * mondopoint_step_mm, breadth);
      if (!one) return tl::unexpected(one.error());
      range.push_back(std::move(*one));
    }
  return range;
}

}  // namespace aplomb::shoe
