// The same steps as `aplomb compare`, behind drawing and beside the solver.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shelf_job.h"

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

namespace {

/// The one flag that the memory's solver looks at too.
std::shared_ptr<std::atomic<bool>> begun(const std::shared_ptr<ShelfMemory>& memory) {
  memory->cancel = false;
  return {memory, &memory->cancel};
}

}  // namespace

ShelfJob::ShelfJob(ShelfWish wish, std::function<void()> wake)
    : wish_(std::move(wish)),
      job_(
          "reading the shelf", std::move(wake),
          [this](const io::Progress& progress) {
            return compare_shelf(wish_, progress, [this](std::vector<std::string> labels) {
              const std::lock_guard lock(mutex_);
              first_ = std::move(labels);
            });
          },
          begun(wish_.memory)) {}

ShelfSoFar ShelfJob::so_far() const {
  const JobProgress progress = job_.so_far();
  const std::lock_guard lock(mutex_);
  return {progress.fraction, progress.what, first_};
}

}  // namespace aplomb::viewer
