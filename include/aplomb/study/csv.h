// Stands as CSV (RFC 4180), one row each.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/study/population.h"

namespace aplomb::study {

inline constexpr int csv_format_version = 1;

/// Header and one row for each stand; columns format ("aplomb-study"), format_version, then inputs, evidence and every
/// one of quantities(); solve_ms, which no two runs share, is last. Numbers are the shortest that read back the same;
/// empty: does not apply or not known. Lines end with \n.
std::string csv_text(const std::vector<StandRecord>& stands);

}  // namespace aplomb::study
