// The same steps as `aplomb compare`, behind drawing and beside the solver.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shelf_job.h"

#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>

namespace aplomb::viewer {

io::Result<ShelfAnswer> compare_shelf(const ShelfWish& wish, const io::Progress& progress,
                                      const std::function<void(std::vector<std::string>)>& on_first) {
  progress(0, "reading the shelf");
  auto stock = shop::read_stock(wish.stock, wish.designs);
  if (!stock) return tl::unexpected(stock.error());
  ShelfAnswer answer;
  answer.mirrored = wish.mirrored;
  answer.feet = wish.feet;
  answer.inputs = {wish.left, wish.right, "", std::move(*stock), *wish.rules};
  shop::CompareOptions options;
  options.search.progress = {[&](double fraction, std::string_view what) { progress(0.8 * fraction, what); },
                             progress.cancel};
  options.search.on_ranking = [&](const shop::RankingSoFar& so_far) {
    if (so_far.step == shop::RankingSoFar::Step::measured) return;
    std::vector<std::string> labels;
    for (std::size_t i = 0; i < std::min<std::size_t>(3, so_far.ranking.size()); ++i)
      labels.push_back(answer.inputs.stock.items[static_cast<std::size_t>(so_far.ranking[i].item)].label);
    on_first(std::move(labels));
  };
  auto comparison = shop::compare(answer.inputs, wish.memory->memory, options);
  if (!comparison) return tl::unexpected(comparison.error());
  answer.comparison = std::move(*comparison);
  // Rules that were raised point into the inputs' own rules, and stay valid when those move with their heap block.
  return answer;
}

ShelfJob::ShelfJob(ShelfWish wish, std::function<void()> wake) : wish_(std::move(wish)) {
  wish_.memory->cancel = false;
  so_far_.what = "reading the shelf";
  result_ = std::async(std::launch::async, [this, wake = std::move(wake)] {
    constexpr int behind_drawing = 10;
    if (wake) (void)::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), behind_drawing);
    const io::Progress progress{[&](double fraction, std::string_view what) {
                                  {
                                    const std::lock_guard lock(mutex_);
                                    so_far_.fraction = fraction, so_far_.what = what;
                                  }
                                  if (wake) wake();
                                },
                                &wish_.memory->cancel};
    auto answer = compare_shelf(wish_, progress, [&](std::vector<std::string> labels) {
      const std::lock_guard lock(mutex_);
      so_far_.first = std::move(labels);
    });
    if (wake) wake();
    return answer;
  });
}

ShelfJob::~ShelfJob() {
  cancel();
  if (result_.valid()) result_.wait();
}

bool ShelfJob::ended() const { return result_.wait_for(std::chrono::seconds(0)) == std::future_status::ready; }

ShelfSoFar ShelfJob::so_far() const {
  const std::lock_guard lock(mutex_);
  return so_far_;
}

}  // namespace aplomb::viewer
