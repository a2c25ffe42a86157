// Load conversion of the numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/loading.h"

namespace aplomb::foot {

LoadRatios load_ratios(Load load) {
  switch (load) {
    case Load::standing:
      return {14.72 / 14.56, 1.029, 1.059, 0.85, 0.340 / 0.363, 3.0};
    case Load::full:
      return {14.77 / 14.56, 1.060, 1.087, 0.80, 0.920, 3.5};
    default:
      return {};
  }
}

namespace {

Numbers converted(const Numbers& numbers, Load from, Load to) {
  const LoadRatios a = load_ratios(from), b = load_ratios(to);
  Numbers out = numbers;
  const auto times = [&out](int number, double ratio) {
    if (out[number]) out[number] = *out[number] * ratio;
  };
  times(foot_length, b.length / a.length);
  times(foot_breadth, b.foot_breadth / a.foot_breadth);
  for (int toe = 0; toe < toe_count; ++toe) times(toe_breadth + toe, b.foot_breadth / a.foot_breadth);
  times(heel_breadth, b.heel_breadth / a.heel_breadth);
  times(arch_height, b.arch_height / a.arch_height);
  times(instep_height, b.instep_height / a.instep_height);
  if (out[ball_length]) out[ball_length] = *out[ball_length] + *out[foot_length] - *numbers[foot_length];
  if (out[lateral_malleolus_height]) {
    const double unloaded_length = *numbers[foot_length] / a.length;
    out[lateral_malleolus_height] =
        *out[lateral_malleolus_height] - (b.sinking_mm - a.sinking_mm) * unloaded_length / 240;
  }
  return out;
}

}  // namespace

Numbers to_standing(const Numbers& under_load, Load load) { return converted(under_load, load, Load::standing); }
Numbers from_standing(const Numbers& standing, Load load) { return converted(standing, Load::standing, load); }

}  // namespace aplomb::foot
