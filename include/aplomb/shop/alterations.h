// What a fitter can change: another size, another box, a workshop alteration, padding, spacer, tape, ribbon; each a
// change of a shoe's parameters that can be solved again.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/shoe/parameters.h"

namespace aplomb::shop {

/// How far a fitter has to reach for a change: what the shelf may hold, what must be ordered, what is done at the
/// bench, what is laid in or sewn on.
enum class Reach { size, order, bench, fitting };
extern const char* const reach_names[4];

/// A kind of change.
struct Change {
  std::string name;      ///< as in rules: "narrower"
  std::string unit;      ///< of its amount: "mm", "N", "share", "factor"
  io::Range range;       ///< of its amount
  std::string words;     ///< with {} for the amount: "a shoe {} mm narrower"
  std::string opposite;  ///< name of the change that undoes it, or empty
  Reach reach = Reach::size;
  std::function<void(shoe::ShoeParameters&, double, foot::Side)> apply;
};

/// All kinds in order of reach.
const std::vector<Change>& changes();
const Change* change_named(std::string_view name);

/// One change with its amount.
struct Try {
  std::string change;
  double by = 0;
  bool operator==(const Try&) const = default;
};
std::string words(const Try& attempt);

/// The shoe so changed, for a foot of that side (a wing changed on one side makes the shoe a left or right one). Errors
/// as shoe::check(), and where nothing would be changed: the change cannot be made on this shoe. Pre: the change is
/// known.
io::Result<shoe::ShoeParameters> altered(const shoe::ShoeParameters& shoe, const Try& attempt, foot::Side side);

}  // namespace aplomb::shop
