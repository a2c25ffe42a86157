// Traits named from the numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <initializer_list>

#include "aplomb/shop/visit.h"

namespace aplomb::shop {

namespace {

/// "" where every one of these was measured.
std::string guessed(const foot::Foot& foot, std::initializer_list<const char*> numbers) {
  for (const char* number : numbers) {
    const auto found = foot.measurements.find(number);
    if (found == foot.measurements.end() || found->second.source == "prior") return " (usual, not measured)";
  }
  return {};
}

Trait toe_pattern(const foot::Foot& foot) {
  constexpr double level_mm = 1.5;  // tips nearer than this are level [G]
  const auto tip = [&](const char* name) { return foot.landmarks.at(name).position_F.x(); };
  const double ahead = tip("tip2") - tip("tip1");
  std::string words = "Egyptian: the hallux is the longest";
  if (ahead > level_mm)
    words = fmt::format("Greek: the second toe is {:.0f} mm ahead of the hallux", ahead);
  else if (ahead > -level_mm && tip("tip3") > tip("tip1") - 3 * level_mm)
    words = "square: the first toes end level";
  return {"toe pattern", words + guessed(foot, {"toes.hallux.length_mm", "toes.second.length_mm"})};
}

Trait squeeze(const foot::Foot& foot) {
  const double mm = foot.breadth_relaxed_mm - foot.breadth_squeezed_mm;
  // 2 mm or less, 5 mm or more: common practice, no source.
  const char* kind = mm <= 2 ? "not compressible" : mm >= 5 ? "very compressible" : "somewhat compressible";
  return {"hand squeeze", fmt::format("{}: a hand takes {:.1f} mm off the forefoot{}", kind, mm,
                                      guessed(foot, {"foot_breadth_relaxed_mm", "foot_breadth_squeezed_mm"}))};
}

Trait arch(const foot::Foot& foot) {
  // Navicular height over foot length; .18 +- .02 follows from 44 +- 5 mm at 234 mm in college dancers (Matsumoto
  // 2022).
  const double share = foot.measurements.at("arch_height_mm").value / foot.length_mm;
  const char* kind = share < 0.165 ? "low" : share > 0.205 ? "high" : "medium";
  return {"arch", fmt::format("{}: {:.0f} % of the length{}; she points {:.0f} deg{}", kind, 100 * share,
                              guessed(foot, {"arch_height_mm"}), foot.plantarflexion_deg,
                              guessed(foot, {"plantarflexion_deg"}))};
}

Trait lift(const foot::Foot& foot) {
  std::string lifted;
  for (const char* toe : foot::toe_names) {
    const auto found = foot.measurements.find(fmt::format("toes.{}.lift_mm", toe));
    if (found == foot.measurements.end() || found->second.source == "prior" || found->second.value < 3) continue;
    lifted += fmt::format("{}{} toe {:.0f} mm off the floor", lifted.empty() ? "" : ", ", toe, found->second.value);
  }
  if (!lifted.empty()) return {"toe lift", lifted};
  return {"toe lift",
          "toes lie on the floor" + guessed(foot, {"toes.hallux.lift_mm", "toes.second.lift_mm", "toes.third.lift_mm",
                                                   "toes.fourth.lift_mm", "toes.little.lift_mm"})};
}

}  // namespace

std::vector<Trait> traits_of(const foot::Foot& foot) {
  return {toe_pattern(foot), squeeze(foot), arch(foot), lift(foot)};
}

}  // namespace aplomb::shop
