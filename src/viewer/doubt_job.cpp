// The same steps as `aplomb stand --bands`, behind drawing and beside the solver.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "doubt_job.h"

#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>

#include "aplomb/shoe/shoe.h"

namespace aplomb::viewer {

DoubtAnswer doubts_for(const DoubtWish& wish, const io::Progress& progress) {
  auto shoe = shoe::make_shoe(*wish.answer->parameters);
  if (!shoe) return tl::unexpected(shoe.error());
  bands::DoubtOptions options;
  options.runs = wish.runs;
  options.threads = wish.threads;
  options.ranges = wish.ranges;
  options.stand = wish.stand;
  return bands::doubts(wish.answer->foot, std::make_shared<const shoe::Shoe>(std::move(*shoe)), *wish.model,
                       wish.answer->findings, options, progress);
}

DoubtJob::DoubtJob(DoubtWish wish, std::function<void()> wake) : wish_(std::move(wish)) {
  result_ = std::async(std::launch::async, [this, wake = std::move(wake)] {
    // Threads that this one starts begin with its priority.
    constexpr int behind_drawing = 10;
    if (wake) (void)::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), behind_drawing);
    const io::Progress progress{[&](double fraction, std::string_view what) {
                                  {
                                    // Runs end on several threads: one that is late would turn the count back.
                                    const std::lock_guard lock(mutex_);
                                    if (fraction >= fraction_) fraction_ = fraction, what_ = what;
                                  }
                                  if (wake) wake();
                                },
                                &cancel_};
    auto found = doubts_for(wish_, progress);
    if (wake) wake();
    return found;
  });
}

DoubtJob::~DoubtJob() {
  cancel();
  if (result_.valid()) result_.wait();
}

bool DoubtJob::ended() const { return result_.wait_for(std::chrono::seconds(0)) == std::future_status::ready; }

double DoubtJob::fraction() const {
  const std::lock_guard lock(mutex_);
  return fraction_;
}

std::string DoubtJob::what() const {
  const std::lock_guard lock(mutex_);
  return what_;
}

}  // namespace aplomb::viewer
