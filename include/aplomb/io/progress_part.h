// Progress of a part of long work.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/io/progress.h"

namespace aplomb::io {

/// For a part of the work, which takes the whole from `from` to `to`. Pre: `whole` outlives it.
inline Progress part_of(const Progress& whole, double from, double to) {
  return {[&whole, from, to](double fraction, std::string_view what) { whole(from + fraction * (to - from), what); },
          whole.cancel};
}

}  // namespace aplomb::io
