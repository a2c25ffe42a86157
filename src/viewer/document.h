// Everything a session brings back, plain data: what stands in what, and how it is looked at.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "choice.h"
#include "orbit.h"

namespace aplomb::viewer {

/// What undo brings back.
struct Subject {
  std::array<Choice, 2> seat;  ///< the second only side by side
  bool side_by_side = false;
  stance::Position position = stance::Position::full_pointe_two;
  std::optional<Source> visit{};  ///< file of the visit that the feet are of
  std::string trying{};           ///< the change that the second seat shows, in words; empty: none

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
  bool client = false;        ///< the page for the client
  bool band = false;          ///< solve the friction band too
  bool doubts = false;        ///< find the 5 to 95 % bands too
  bool advice = false;        ///< solve what helps too
  std::optional<int> step{};  ///< of the states on a way up or down; none: the position's own
  double font_scale = 1;

  bool operator==(const Look&) const = default;
};

/// A stock that is compared. Its file is read anew for every comparison: a shelf changes from day to day.
struct KeptShelf {
  std::string stock;               ///< whole path
  std::vector<std::string> first;  ///< labels of the pairs that came first when it was last compared
  bool shown = false;              ///< in the place of the findings

  bool operator==(const KeptShelf&) const = default;
};

/// A pair off a shelf as it was put on the seats.
struct KeptPair {
  std::array<Source, 2> shoe;  ///< by seat, with all that is laid in it
  std::array<Source, 2> hers;  ///< the same shoe with only what she wears whatever the shoe
  int item = -1;
  std::string stock_hash;

  bool operator==(const KeptPair&) const = default;
};

struct Document {
  Subject subject;
  Look look;
  std::optional<KeptShelf> shelf{};
  std::optional<KeptPair> pair{};  ///< that the shoes on the seats come from; else its padding would be taken for hers

  bool operator==(const Document&) const = default;
};

}  // namespace aplomb::viewer
