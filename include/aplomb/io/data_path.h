// Where the program's own data (foot template, sample shoes, schemas) lies.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>

#include "aplomb/io/error.h"

namespace aplomb::io {

/// The first of: `option` (--data) when not empty, $APLOMB_DATA when set, <program>/../share/aplomb, the source tree's
/// meshes. The first two must be right when they are given; the last two are tried in turn.
/// Errors (bad_input): a folder that was named is no data folder; none was found.
Result<std::filesystem::path> data_folder(const std::string& option);

}  // namespace aplomb::io
