// A scan on its way to being a foot: on a thread of its own, with progress, to be cancelled.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <functional>
#include <string>

#include "aplomb/scan/fit_scan.h"
#include "choice.h"
#include "job.h"
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
  /// `wake`: see Job. Its end cancels and waits.
  ScanJob(const Library& library, ScanWish wish, std::function<void()> wake);

  const ScanWish& wish() const { return wish_; }
  bool ended() const { return job_.ended(); }
  io::Result<ScanFoot> take() { return job_.take(); }  ///< Pre: ended(); once
  void cancel() { job_.cancel(); }
  bool cancelled() const { return job_.cancelled(); }
  JobProgress so_far() const { return job_.so_far(); }

 private:
  ScanWish wish_;
  Job<ScanFoot> job_;
};

}  // namespace aplomb::viewer
