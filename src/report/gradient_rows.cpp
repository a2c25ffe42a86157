// Which numbers move a finding most: slopes times a change that a maker or a fitter would make.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>

#include "aplomb/report/rows.h"
#include "quantity.h"

namespace aplomb::report {

namespace {

using findings::Gradient;

constexpr std::size_t shown = 3;  // numbers for each finding

/// 1 mm, 1 deg; of everything else a tenth of what it is.
double step_of(const Gradient& number) {
  const std::string_view key = number.key;
  return key.ends_with("_mm") || key.ends_with("_deg") ? 1 : 0.1 * number.value;
}

/// "ball_breadth_mm + 1 mm", "load_N + 10 %".
std::string words_of(const Gradient& number) {
  const std::string_view key = number.key;
  const char* const by = key.ends_with("_mm") ? "1 mm" : key.ends_with("_deg") ? "1 deg" : "10 %";
  return fmt::format("{} + {}", key, by);
}

struct Effect {
  const Gradient* number;
  double by;  // of the finding
};

std::vector<Effect> effects_on(const std::string& finding, const std::vector<Gradient>& numbers) {
  std::vector<Effect> effects;
  for (const Gradient& number : numbers)
    for (const Gradient::Slope& slope : number.slopes)
      if (slope.finding == finding) effects.push_back({&number, slope.value * step_of(number)});
  std::stable_sort(effects.begin(), effects.end(),
                   [](const Effect& a, const Effect& b) { return std::abs(a.by) > std::abs(b.by); });
  effects.resize(std::min(effects.size(), shown));
  return effects;
}

}  // namespace

Grid gradient_grid(const findings::Findings& f) {
  Grid grid{"What moves it most", {"Finding, and the number moved", "by"}, {}};
  if (!f.converged || !f.gradients) return grid;
  constexpr Quantity millimetres{2, "mm", true}, kilopascals{1, "kPa", true}, points{2, "points", true, 100},
      of_load{2, "points", true}, moment{2, "N m", true};
  const std::pair<const char*, std::pair<const char*, Quantity>> told[] = {
      {"depth_mm", {"Depth", millimetres}},
      {"sink_mm", {"Sink", millimetres}},
      {"crowding_index", {"Crowding, % of breadth", points}},
      {"load_share.platform", {"On the platform, % of load", of_load}},
      {"peak_kPa", {"Peak pressure", kilopascals}},
      {"break_point.arch_fraction", {"Break along the arch, %", points}},
      {"plumb.fore_aft_mm", {"Plumb, fore and aft", millimetres}},
      {"ankle_moment_Nm", {"Ankle moment", moment}},
      {"heel_slack_mm", {"Heel slack", millimetres}},
      {"toe_room_mm", {"Toe room", millimetres}},
      {"rise.heel_height_mm", {"Heel height", millimetres}}};
  for (const auto& [key, told_as] : told) {
    const std::vector<Effect> effects = effects_on(key, *f.gradients);
    // A finding that nothing moves, or that is not there.
    if (effects.empty() || effects.front().by == 0) continue;
    for (const Effect& effect : effects)
      grid.rows.push_back(
          {fmt::format("{:<28}{}", told_as.first, words_of(*effect.number)), text(effect.by, told_as.second)});
  }
  return grid;
}

}  // namespace aplomb::report
