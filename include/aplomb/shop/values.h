// The numbers that rules speak of, by name: findings of a solved position, and what a fitter's hand and ruler tell of a
// foot beside a shoe before anything is solved.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/foot/foot.h"
#include "aplomb/shoe/parameters.h"

namespace aplomb::shop {

/// Values by name; what does not apply is not in it.
using Values = std::map<std::string, double, std::less<>>;

struct ValueName {
  std::string name;   ///< "depth_mm", "toes.little.overlap_mm"; as in the JSON of a stand where it is there
  std::string unit;   ///< "mm", "deg", "percent", "share", "years"
  std::string words;  ///< "depth"
};

/// Findings of a solved position. Pressures in kPa are left out on purpose: they are shown, never graded.
const std::vector<ValueName>& solved_names();
/// Numbers of `measure()`: shoe against foot ("spare_...") and of the foot alone ("foot....").
const std::vector<ValueName>& measured_names();
/// The name in either list, or null.
const ValueName* value_named(std::string_view name, bool measured);

/// Whether the finding is made in that position; elsewhere it is null. Pre: both are known names.
bool made_in(std::string_view finding, const std::string& position);

/// The position under which rules speak of measure().
inline constexpr const char* by_measure = "measure";

Values values_of(const findings::Findings& findings);

/// Without a solve, mm unless the name says otherwise, + room, - too tight; the shoe's layers (tights, padding) taken
/// off, padding half packed [G]:
/// - spare_length_mm: inner length less the standing foot's;
/// - spare_breadth_mm: inner ball breadth less the unloaded forefoot squeezed by hand;
/// - spare_crown_mm: crown less the height of the unloaded forefoot at the ball;
/// - spare_heel_mm: heel seat's breadth less the heel's.
/// Of the foot alone: foot.squeeze_mm (relaxed less squeezed breadth), foot.second_ahead_mm (second toe's tip before
/// the hallux's), foot.little_lift_mm, foot.hallux_angle_deg, foot.arch_share (arch height / length),
/// foot.pointing_deg, foot.age_years.
Values measure(const foot::Foot& foot, const shoe::ShoeParameters& shoe);

}  // namespace aplomb::shop
