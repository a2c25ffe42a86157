// Traits named from the numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "aplomb/shop/visit.h"

namespace aplomb::shop {

namespace {

Trait toe_pattern(const foot::Foot& foot) {
  constexpr double level_mm = 1.5;  // tips nearer than this are level [G]
  const auto tip = [&](const char* name) { return foot.landmarks.at(name).position_F.x(); };
  const double ahead = tip("tip2") - tip("tip1");
  if (ahead > level_mm)
    return {"toe pattern", fmt::format("Greek: the second toe is {:.0f} mm ahead of the hallux", ahead)};
  if (ahead > -level_mm && tip("tip3") > tip("tip1") - 3 * level_mm)
    return {"toe pattern", "square: the first toes end level"};
  return {"toe pattern", "Egyptian: the hallux is the longest"};
}

Trait squeeze(const foot::Foot& foot) {
  const double mm = foot.breadth_relaxed_mm - foot.breadth_squeezed_mm;
  // 2 mm or less, 5 mm or more: common practice, no source.
  const char* kind = mm <= 2 ? "not compressible" : mm >= 5 ? "very compressible" : "somewhat compressible";
  return {"hand squeeze", fmt::format("{}: a hand takes {:.1f} mm off the forefoot", kind, mm)};
}

Trait arch(const foot::Foot& foot) {
  // Navicular height over foot length; .18 +- .02 follows from 44 +- 5 mm at 234 mm in college dancers (Matsumoto
  // 2022).
  const double share = foot.measurements.at("arch_height_mm").value / foot.length_mm;
  const char* kind = share < 0.165 ? "low" : share > 0.205 ? "high" : "medium";
  return {"arch",
          fmt::format("{}: {:.0f} % of the length; she points {:.0f} deg", kind, 100 * share, foot.plantarflexion_deg)};
}

Trait lift(const foot::Foot& foot) {
  std::string lifted;
  for (const char* toe : foot::toe_names) {
    const auto found = foot.measurements.find(fmt::format("toes.{}.lift_mm", toe));
    if (found == foot.measurements.end() || found->second.source == "prior" || found->second.value < 3) continue;
    lifted += fmt::format("{}{} toe {:.0f} mm off the floor", lifted.empty() ? "" : ", ", toe, found->second.value);
  }
  return {"toe lift", lifted.empty() ? "toes lie on the floor" : lifted};
}

}  // namespace

std::vector<Trait> traits_of(const foot::Foot& foot) {
  return {toe_pattern(foot), squeeze(foot), arch(foot), lift(foot)};
}

}  // namespace aplomb::shop
