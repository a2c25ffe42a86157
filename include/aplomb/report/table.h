// The findings as text for a terminal.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "aplomb/findings/findings.h"
#include "aplomb/report/rows.h"

namespace aplomb::report {

/// UTF-8, aligned columns, lines of at most about 110 columns, ends with a newline. Limits and cautions beneath.
std::string table(const findings::Findings& findings);
/// A grid under its title, an empty line before it; nothing without rows.
std::string grid_text(const Grid& grid);

}  // namespace aplomb::report
