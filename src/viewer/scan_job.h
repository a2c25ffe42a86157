// A scan on its way to being a foot: on a thread of its own, with progress, to be cancelled.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>
#include <filesystem>
#include <functional>
#include <future>
#include <memory>
#include <mutex>
#include <string>

#include "aplomb/scan/fit_scan.h"
#include "choice.h"
#include "library.h"

namespace aplomb::viewer {

/// A scan with what was said about it.
struct ScanWish {
  std::filesystem::path file;
  int seat = 0;  ///< where its foot goes
  scan::ScanOptions options;
};

/// A foot out of a scan: named as the scan's file, its text that of a foot file, so that a session holds it whole.
struct ScanFoot {
  Source source;
  std::string told;  ///< what was found, for people
};

/// Reads and fits. Errors: as scan::read_scan() and fit_scan(); decision_needed when side or unit must be said.
io::Result<ScanFoot> foot_of_scan(const Library& library, const std::filesystem::path& file,
                                  const scan::ScanOptions& options, const io::Progress& progress);

class ScanJob {
 public:
  /// `wake` is called from the thread on progress and at the end.
  ScanJob(const Library& library, ScanWish wish, std::function<void()> wake);
  ~ScanJob();  ///< cancels and waits
  ScanJob(const ScanJob&) = delete;
  ScanJob& operator=(const ScanJob&) = delete;

  const ScanWish& wish() const { return wish_; }
  bool ended() const;
  io::Result<ScanFoot> take() { return result_.get(); }  ///< Pre: ended(); once
  void cancel() { cancel_ = true; }
  double fraction() const;
  std::string what() const;

 private:
  ScanWish wish_;
  mutable std::mutex mutex_;
  double fraction_ = 0;
  std::string what_ = "reading the scan";
  std::atomic<bool> cancel_{false};
  std::future<io::Result<ScanFoot>> result_;  // last: its thread uses what is above
};

}  // namespace aplomb::viewer
