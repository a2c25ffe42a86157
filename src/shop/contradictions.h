// Rules that cannot be meant: against one another, or against themselves (internal).
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "aplomb/io/error.h"
#include "aplomb/shop/rules.h"

namespace aplomb::shop {

/// What a rule says against itself: conditions that never hold together, a change and its opposite, tries out of the
/// order of reach.
std::optional<io::Error> contradiction_in(const Rule& rule);

/// What `rule` says against one of the rules before it: field, message and remedy; nothing when they go together.
std::optional<io::Error> contradiction_with(const std::vector<Rule>& before, const Rule& rule);

}  // namespace aplomb::shop
