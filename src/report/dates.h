// The form of a date on a page.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "aplomb/io/error.h"

namespace aplomb::report {

/// Errors (bad_input): neither empty nor of the form 2026-11-25.
io::Result<void> check_date(const std::string& date);

}  // namespace aplomb::report
