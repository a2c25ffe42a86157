// Work on many points shared between threads.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <thread>
#include <vector>

namespace aplomb::scan {

/// Calls part(begin, end) for consecutive parts of 0 .. count, one for each thread. Pre: no part reads what another
/// writes, so that the answer is the same for any number of threads.
template <class Part>
void in_parts(std::size_t count, int threads, const Part& part) {
  const std::size_t parts = threads < 1 ? 1 : static_cast<std::size_t>(threads);
  std::vector<std::jthread> others;  // joined at the end, whatever happens
  for (std::size_t i = 1; i < parts; ++i)
    others.emplace_back([&part, count, parts, i] { part(count * i / parts, count * (i + 1) / parts); });
  part(std::size_t{0}, count / parts);
}

}  // namespace aplomb::scan
