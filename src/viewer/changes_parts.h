// What changes of shoe, shank and constants share.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "changes.h"

namespace aplomb::viewer {

/// Of the keys of a shank's table.
inline constexpr std::string_view table_prefix = "shank_stiffness.";

/// No number of that key can be changed.
tl::unexpected<io::Error> no_such(const std::string& key);

/// Errors: out of the range.
io::Result<void> put(double& number, const std::string& key, double value, io::Range range);

/// Of the shank. Errors: as apply().
io::Result<void> apply_table(const Changes& numbers, shoe::ShoeParameters& parameters);

}  // namespace aplomb::viewer
