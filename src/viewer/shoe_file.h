// What a shoe's own file gives, before any change.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <set>
#include <string>

#include "aplomb/shoe/parameters.h"
#include "choice.h"

namespace aplomb::viewer {

/// The numbers that a shoe's file gives, before any change.
struct ShoeFile {
  std::string text;                           ///< that they were read from
  std::optional<shoe::ShoeParameters> given;  ///< nothing where it cannot be read
  std::set<std::string> keys;                 ///< numbers and tables that the file names itself; the rest are usual
};
ShoeFile read_shoe_file(const Source& source);

}  // namespace aplomb::viewer
