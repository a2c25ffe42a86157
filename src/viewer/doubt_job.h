// The 5 to 95 % bands of one answer: on threads of their own, with progress, to be cancelled.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>
#include <functional>
#include <future>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "aplomb/bands/doubts.h"
#include "solve_job.h"

namespace aplomb::viewer {

struct DoubtWish {
  std::shared_ptr<const Solved> answer;  ///< that the bands go with
  stance::StandOptions stand;            ///< that it was solved with
  std::shared_ptr<const foot::ShapeModel> model;
  std::vector<bands::GuessRange> ranges;
  int runs = 128;
  int threads = 1;  ///< the bands do not depend on it
};

/// The bands, or why there are none.
using DoubtAnswer = io::Result<findings::Doubts>;

/// Pre: `answer` is shown(), in full care. Errors: as make_shoe() and bands::doubts().
DoubtAnswer doubts_for(const DoubtWish& wish, const io::Progress& progress);

class DoubtJob {
 public:
  /// `wake` is called from the threads on progress and at the end.
  DoubtJob(DoubtWish wish, std::function<void()> wake);
  ~DoubtJob();  ///< cancels and waits
  DoubtJob(const DoubtJob&) = delete;
  DoubtJob& operator=(const DoubtJob&) = delete;

  const DoubtWish& wish() const { return wish_; }
  bool ended() const;
  DoubtAnswer take() { return result_.get(); }  ///< Pre: ended(); once
  void cancel() { cancel_ = true; }
  bool cancelled() const { return cancel_; }
  double fraction() const;
  std::string what() const;

 private:
  DoubtWish wish_;
  mutable std::mutex mutex_;
  double fraction_ = 0;
  std::string what_ = "bands: beginning";
  std::atomic<bool> cancel_{false};
  std::future<DoubtAnswer> result_;  // last: its thread uses what is above
};

}  // namespace aplomb::viewer
