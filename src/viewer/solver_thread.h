// The one thread that solves, so that the screen never waits.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>
#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "solve_job.h"

namespace aplomb::viewer {

/// What is being solved, for the status line.
struct Work {
  bool busy = false;
  std::string key;
  stance::Position position = stance::Position::full_pointe_two;
  double fraction = 0;
  std::string what;
};

/// want() says what should be solved, most urgent first, and replaces what was wanted before. A full solve that nobody
/// wants any more is cancelled; a quick one is let finish, so that a drag shows something. Thread-safe.
class SolverThread {
 public:
  /// `wake` is called on the solver's thread after each answer; empty when nobody draws meanwhile.
  SolverThread(Library library, std::function<void()> wake);
  ~SolverThread();
  SolverThread(const SolverThread&) = delete;
  SolverThread& operator=(const SolverThread&) = delete;

  void want(std::vector<Request> requests);
  /// Answers since the last call, oldest first; cancelled ones are left out.
  std::vector<std::shared_ptr<const Solved>> take();
  Work work() const;
  /// Stops what is running and forgets what is wanted.
  void cancel();
  bool idle() const;

 private:
  void run();
  Solved answer(const Request& request);
  io::Progress progress();

  Solver solver_;
  std::function<void()> wake_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::vector<Request> wanted_;
  std::vector<std::shared_ptr<const Solved>> answers_;
  Work work_;
  bool running_quick_ = false, running_advice_ = false, stopping_ = false;
  std::atomic<bool> cancel_{false};
  std::thread thread_;  // last: everything above is there before it starts
};

}  // namespace aplomb::viewer
