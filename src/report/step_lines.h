// The few words under a small picture.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/findings/findings.h"

namespace aplomb::report {

/// What is asked first of a position, at most three lines.
std::vector<std::string> key_lines(const findings::Findings& findings);

}  // namespace aplomb::report
