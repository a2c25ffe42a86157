// Progress and cancellation for long work.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>
#include <functional>
#include <string_view>

namespace aplomb::io {

/// Handed down into long work. Plain and copyable; a default one does nothing.
struct Progress {
  /// Called now and then with the fraction done (0..1) and what is being done. May be empty.
  std::function<void(double fraction, std::string_view what)> report;
  /// Set from another thread or a signal handler to stop the work. May be null.
  const std::atomic<bool>* cancel = nullptr;

  bool cancelled() const { return cancel != nullptr && cancel->load(std::memory_order_relaxed); }
  void operator()(double fraction, std::string_view what) const {
    if (report) report(fraction, what);
  }
};

}  // namespace aplomb::io
