// What the shelf lacks.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/shop/compare.h"

namespace aplomb::shop {

/// What the best pair raises and no shoe solved as far as that avoids, each with the least change that would. `advice`
/// is that of the best pair, by wearer. Errors: cancelled.
io::Result<std::vector<Lack>> lacks_of(const CompareInputs& inputs, const Search& pairs,
                                       const std::vector<Wearer>& wearers, const std::vector<Advice>& advice,
                                       Memory& memory, const AdviseOptions& options);

}  // namespace aplomb::shop
