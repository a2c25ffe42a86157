// Plain words: a child reads them too.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "client_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace aplomb::viewer {

namespace {

/// Where it presses most, as one says it to a child.
std::string plain_region(const std::string& region) {
  if (region == "hallux") return "the big toe";
  if (region == "second" || region == "third" || region == "fourth") return "the " + region + " toe";
  if (region == "little") return "the little toe";
  if (region == "ball_medial") return "the inner side of the ball of the foot";
  if (region == "ball_lateral") return "the outer side of the ball of the foot";
  if (region == "ball_middle") return "the middle of the ball of the foot";
  if (region == "dorsum") return "the top of the foot";
  if (region == "lateral_border") return "the outer edge of the foot";
  return "the " + region;
}

/// How the foot stands or hangs there.
std::string how_it_stands(const findings::Findings& f) {
  if (!f.goes_in) return "This foot does not get down into this shoe.";
  if (f.load_share)
    return fmt::format(
        "Of every 10 kilos that rest on this foot, about {:.1f} go down through the tips of the toes; the shoe's "
        "sides, "
        "top and sole hold the rest.",
        std::max(0.0, f.load_share->platform / 10));
  if (f.toe_room_mm)
    return *f.toe_room_mm < 0
               ? "Standing flat, the longest toe pushes against the end of the shoe."
               : fmt::format("Standing flat, the longest toe has {:.0f} mm to the end of the shoe.", *f.toe_room_mm);
  if (f.tip_clearance_seated_mm)
    return *f.tip_clearance_seated_mm > 1
               ? fmt::format("With no weight on it, the toes stay {:.0f} mm above the flat end of the shoe.",
                             *f.tip_clearance_seated_mm)
               : "Even with no weight on it, the toes reach the flat end of the shoe.";
  return "The foot rests in the shoe as the picture shows.";
}

std::string where_it_presses(const findings::Findings& f) {
  const auto most = std::max_element(f.regions.begin(), f.regions.end(),
                                     [](const auto& a, const auto& b) { return a.peak_kPa < b.peak_kPa; });
  std::string words =
      most == f.regions.end() || most->peak_kPa <= 0
          ? "The colours show where the shoe touches; darker is more"
          : fmt::format("The shoe presses most on {}, where the colour is darkest", plain_region(most->region));
  if (!f.plumb.applies || !f.plumb.margin_mm) return words + ".";
  return words + (f.plumb.gets_over ? ", and she stands over the flat end of the shoe."
                                    : ", and she does not yet stand over the flat end of the shoe.");
}

}  // namespace

std::vector<std::string> client_sentences(const findings::Findings& findings) {
  return {
      how_it_stands(findings), where_it_presses(findings),
      "This is an estimate to talk over; whether to dance in these shoes is for fitter, teacher and doctor to say."};
}

}  // namespace aplomb::viewer
