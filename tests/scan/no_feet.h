// Things that are no feet.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/scan/raw_scan.h"

namespace aplomb::scan::testing {

struct NoFoot {
  std::string name;
  RawScan scan;
};

/// Fifty of them, as points, in mm of a foot's size unless their name says otherwise.
std::vector<NoFoot> no_feet();

}  // namespace aplomb::scan::testing
