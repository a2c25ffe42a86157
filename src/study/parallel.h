// Runs many independent pieces of work on a few threads.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>
#include <functional>

namespace aplomb::study {

/// Calls work(i) once for every i in [0, count), on `threads` threads (0: one for each core), in rising order as
/// threads become free. Stops handing out once *cancel is set (may be null). An exception of `work` ends the run and
/// comes out here.
void for_each_index(int count, int threads, const std::atomic<bool>* cancel, const std::function<void(int)>& work);

}  // namespace aplomb::study
