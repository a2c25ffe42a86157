// A problem with fewer points of skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/problem.h"

namespace aplomb::contact {

/// The same problem with about a fifth of the points that may touch, each standing with its area for those around it;
/// the others are left out. Unknowns, surfaces, springs and bands are the same.
Problem thinned(const Problem& problem);

/// Points that may touch anything.
std::size_t touching_points(const Problem& problem);

}  // namespace aplomb::contact
