// The same steps as `aplomb stand --bands`, behind drawing and beside the solver.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "doubt_job.h"

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

DoubtJob::DoubtJob(DoubtWish wish, std::function<void()> wake)
    : wish_(std::move(wish)),
      job_("bands: beginning", std::move(wake), [this](const io::Progress& progress) { return find(progress); }) {}

DoubtAnswer DoubtJob::find(const io::Progress& progress) {
  const io::Progress forward{[&](double fraction, std::string_view what) {
                               // Runs end on several threads: one that is late would turn the count back.
                               const std::lock_guard lock(mutex_);
                               if (fraction < furthest_) return;
                               furthest_ = fraction;
                               progress(fraction, what);
                             },
                             progress.cancel};
  return doubts_for(wish_, forward);
}

}  // namespace aplomb::viewer
