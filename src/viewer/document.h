// Everything a session brings back, plain data: what stands in what, and how it is looked at.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>

#include "choice.h"
#include "orbit.h"

namespace aplomb::viewer {

/// What undo brings back.
struct Subject {
  std::array<Choice, 2> seat;  ///< the second only side by side
  bool side_by_side = false;
  stance::Position position = stance::Position::full_pointe_two;

  bool operator==(const Subject&) const = default;
  int seats() const { return side_by_side ? 2 : 1; }
};

enum class SkinLook { pressure, gap, crowding, difference };
enum class BoxLook { see_through, cut_away, hidden };
enum class SliceAxis { none, across, along };

/// How it is looked at.
struct Look {
  Orbit orbit;
  SkinLook skin = SkinLook::pressure;
  BoxLook box = BoxLook::see_through;
  bool bones = false, upper = true, sole = true;
  bool marks = true;  ///< load line, centre of pressure, break, plumb line
  SliceAxis slice = SliceAxis::none;
  double slice_mm = 40;  ///< across: height over the floor's origin; along: to the inner side of the middle
  double slice_tilt_deg = 0;
  bool lines = true;  ///< limits as lines on the skin and the bar
  bool inches = false;
  bool client = false;  ///< the page for the client
  bool band = false;    ///< solve the friction band too
  bool advice = false;  ///< solve what helps too
  int step = 0;         ///< of the way down
  double font_scale = 1;

  bool operator==(const Look&) const = default;
};

struct Document {
  Subject subject;
  Look look;

  bool operator==(const Document&) const = default;
};

}  // namespace aplomb::viewer
