// A counter hands out the work: pieces differ in length, so equal shares in advance would leave threads idle.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "parallel.h"

#include <algorithm>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace aplomb::study {

void for_each_index(int count, int threads, const std::atomic<bool>* cancel, const std::function<void(int)>& work) {
  if (threads <= 0) threads = static_cast<int>(std::max(1u, std::thread::hardware_concurrency()));
  std::atomic<int> next{0};
  std::atomic<bool> stop{false};
  std::mutex mutex;
  std::exception_ptr failure;
  const auto take = [&] {
    while (!stop && !(cancel != nullptr && cancel->load(std::memory_order_relaxed))) {
      const int i = next++;
      if (i >= count) return;
      try {
        work(i);
      } catch (...) {
        const std::lock_guard lock(mutex);
        if (!failure) failure = std::current_exception();
        stop = true;
      }
    }
  };
  {
    std::vector<std::jthread> pool;
    for (int t = 1; t < std::min(threads, count); ++t) pool.emplace_back(take);
    take();
  }
  if (failure) std::rethrow_exception(failure);
}

}  // namespace aplomb::study
