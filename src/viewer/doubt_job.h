// The 5 to 95 % bands of one answer: on threads of their own, with progress, to be cancelled.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "aplomb/bands/doubts.h"
#include "job.h"
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
  /// `wake`: see Job; from several threads. Its end cancels and waits.
  DoubtJob(DoubtWish wish, std::function<void()> wake);

  const DoubtWish& wish() const { return wish_; }
  bool ended() const { return job_.ended(); }
  DoubtAnswer take() { return job_.take(); }  ///< Pre: ended(); once
  void cancel() { job_.cancel(); }
  bool cancelled() const { return job_.cancelled(); }
  JobProgress so_far() const { return job_.so_far(); }

 private:
  DoubtAnswer find(const io::Progress& progress);

  DoubtWish wish_;
  std::mutex mutex_;
  double furthest_ = 0;
  Job<findings::Doubts> job_;  // last: its thread uses what is above
};

}  // namespace aplomb::viewer
