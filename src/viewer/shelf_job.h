// A shelf against the feet that are shown: on a thread of its own, with progress, to be cancelled.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "aplomb/shop/compare.h"
#include "choice.h"
#include "job.h"
#include "library.h"

namespace aplomb::viewer {

/// Answers that outlive one comparison, so that one that was cancelled, or a second shelf, goes on from them.
struct ShelfMemory {
  ShelfMemory(const stance::Constants& constants, const std::string& basis)
      : memory(shop::stand_solver(constants, {}, {.report = {}, .cancel = &cancel}), basis) {}
  std::atomic<bool> cancel{false};
  shop::Memory memory;
};

/// Whose feet a shelf is compared with, as the seats held them.
struct ShelfFeet {
  std::vector<Source> sources;              ///< by seat; one where both seats held the same
  std::vector<foot::Side> sides;            ///< of each
  std::map<std::string, double> constants;  ///< changed by hand
};

/// What is to be compared. One foot stands for both where there is only one: the other is taken to be its mirror image.
struct ShelfWish {
  std::filesystem::path stock;
  shop::Wearer left, right;
  bool mirrored = false;
  ShelfFeet feet;
  std::shared_ptr<const shop::Rules> rules;
  std::filesystem::path designs;  ///< folder of the designs that the stock does not declare
  std::shared_ptr<ShelfMemory> memory;
};

struct ShelfAnswer {
  shop::CompareInputs inputs;
  shop::Comparison comparison;
  bool mirrored = false;
  ShelfFeet feet;
};

enum class ShelfPage { workshop, client };

/// What is known while it runs.
struct ShelfSoFar {
  double fraction = 0;
  std::string what;
  std::vector<std::string> first;  ///< labels that lead, provisional
};

/// Reads the stock and compares. Errors: as read_stock() and compare().
io::Result<ShelfAnswer> compare_shelf(const ShelfWish& wish, const io::Progress& progress,
                                      const std::function<void(std::vector<std::string>)>& on_first);

class ShelfJob {
 public:
  /// `wake`: see Job. Its end cancels and waits.
  ShelfJob(ShelfWish wish, std::function<void()> wake);

  const ShelfWish& wish() const { return wish_; }
  bool ended() const { return job_.ended(); }
  io::Result<ShelfAnswer> take() { return job_.take(); }  ///< Pre: ended(); once
  void cancel() { job_.cancel(); }
  ShelfSoFar so_far() const;

 private:
  ShelfWish wish_;
  mutable std::mutex mutex_;
  std::vector<std::string> first_;
  Job<ShelfAnswer> job_;  // last: its thread uses what is above
};

}  // namespace aplomb::viewer
