// How long tests wait: sanitizers make the program several times slower.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace aplomb::test {

#ifdef __SANITIZE_ADDRESS__
inline constexpr int patience = 10;
#else
inline constexpr int patience = 1;
#endif

}  // namespace aplomb::test
