// Long work on a thread of its own: with progress, to be cancelled.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <sys/resource.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <functional>
#include <future>
#include <memory>
#include <mutex>
#include <string>

#include "aplomb/io/progress.h"
#include "unforeseen.h"

namespace aplomb::viewer {

struct JobProgress {
  double fraction = 0;
  std::string what;
};

template <class T>
class Job {
 public:
  using Work = std::function<io::Result<T>(const io::Progress&)>;
  using Cancel = std::shared_ptr<std::atomic<bool>>;

  /// `wake` is called from the thread on progress and at the end; empty where nobody draws meanwhile. `what` is said
  /// before the first progress. What `work` throws is an Error.
  Job(std::string what, std::function<void()> wake, Work work, Cancel cancel = std::make_shared<std::atomic<bool>>())
      : wake_(std::move(wake)), work_(std::move(work)), cancel_(std::move(cancel)), so_far_{0, std::move(what)} {
    result_ = std::async(std::launch::async, [this] { return run(); });
  }
  ~Job() {
    cancel();
    if (result_.valid()) result_.wait();
  }
  Job(const Job&) = delete;
  Job& operator=(const Job&) = delete;

  bool ended() const { return result_.wait_for(std::chrono::seconds(0)) == std::future_status::ready; }
  io::Result<T> take() { return result_.get(); }  ///< Pre: ended(); once
  void cancel() { *cancel_ = true; }
  bool cancelled() const { return *cancel_; }
  JobProgress so_far() const {
    const std::lock_guard lock(mutex_);
    return so_far_;
  }

 private:
  io::Result<T> run() {
    // Where somebody draws meanwhile, drawing goes first on few cores. Threads that this one starts begin with its
    // priority.
    constexpr int behind_drawing = 10;
    if (wake_) (void)::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), behind_drawing);
    const io::Progress progress{[this](double fraction, std::string_view what) {
                                  {
                                    const std::lock_guard lock(mutex_);
                                    so_far_ = {fraction, std::string(what)};
                                  }
                                  if (wake_) wake_();
                                },
                                cancel_.get()};
    auto made = guarded([&] { return work_(progress); });
    if (wake_) wake_();
    return made;
  }

  std::function<void()> wake_;
  Work work_;
  Cancel cancel_;
  mutable std::mutex mutex_;
  JobProgress so_far_;
  std::future<io::Result<T>> result_;  // last: its thread uses what is above
};

}  // namespace aplomb::viewer
