// The words of the colour bar: what the colours on the skin mean.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "aplomb/report/colour.h"
#include "view_parts.h"

namespace aplomb::viewer {

namespace {

/// Of lengths: in inches when asked, the same colours to the same ends.
BarWords length_bar(const Look& look, const char* what, double low_mm, double high_mm, double step_mm, bool two_sided) {
  if (!look.inches)
    return {.title = std::string("mm ") + what,
            .low = low_mm,
            .high = high_mm,
            .step = step_mm,
            .two_sided = two_sided,
            .unit = "mm"};
  constexpr double mm = 1 / 25.4;
  return {.title = std::string("in ") + what,
          .low = low_mm * mm,
          .high = high_mm * mm,
          .step = step_mm / 40,
          .decimals = 3,
          .two_sided = two_sided,
          .unit = "in"};
}

}  // namespace

BarWords bar_words(const Look& look, double scale_end) {
  if (look.skin == SkinLook::gap) {
    BarWords bar = length_bar(look, "to the box: + clear, - pressed", -scale_end, scale_end, 2, true);
    bar.hover = "Where the skin is clear of the box, and how deep it is pressed in.";
    return bar;
  }
  if (look.skin == SkinLook::crowding) {
    BarWords bar = length_bar(look, "pressed by the next toe", 0, scale_end, 1, false);
    bar.hover = "How deep each toe is pressed by its neighbour.";
    return bar;
  }
  BarWords bar{.title = "kPa, at the top and over",
               .high = scale_end,
               .step = report::pressure_scale_step_kPa(scale_end),
               .unit = "kPa"};
  bar.hover = "Pressure on the skin. What is pressed more than the top of the bar has the colour of the top.";
  if (look.skin == SkinLook::difference) {
    bar.title = "kPa more (+) or less (-)";
    bar.low = -scale_end, bar.step = scale_end / 2, bar.two_sided = true;
    bar.hover = "Pressure less that of the other view, or less that of before the last change.";
  } else if (look.client) {
    bar.title = "darker: pressed more";
    bar.step = scale_end, bar.plain = true;
  } else if (look.lines) {
    bar.lines = limit_lines_kPa;
    bar.hover +=
        fmt::format(" The lines on bar and skin are at {} kPa, to tell places apart: they are no limits of safety.",
                    fmt::join(limit_lines_kPa, ", "));
  }
  return bar;
}

}  // namespace aplomb::viewer
