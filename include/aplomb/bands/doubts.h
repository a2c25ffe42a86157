// 5 to 95 % bands of every finding of one stand, from what is not known of the foot and from the guesses.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>
#include <cstdint>
#include <memory>
#include <vector>

#include "aplomb/bands/inputs.h"
#include "aplomb/bands/ranges.h"
#include "aplomb/findings/findings.h"
#include "aplomb/io/error.h"
#include "aplomb/io/progress.h"

namespace aplomb::bands {

/// Fewer runs than this say nothing of the ends of a band.
inline constexpr int least_runs = 40, most_runs = 20000;

struct DoubtOptions {
  int runs = 128;  ///< least_runs .. most_runs; powers of 2 fill the inputs most evenly
  std::uint64_t seed = 1;
  int threads = 0;         ///< 0: one for each core; the bands do not depend on it
  bool full_care = false;  ///< solve runs as carefully as the answer; else by contact::quick_options()
  std::vector<GuessRange> ranges = usual_ranges();
  stance::StandOptions stand;  ///< position, load, constants: as for the answer
};

/// Errors (bad_input): fewer than least_runs or more than most_runs.
io::Result<void> check_runs(int runs);

/// Findings of every run; nothing where foot, shoe or stand could not be made.
using Runs = std::vector<std::optional<findings::Findings>>;

/// Stands all of them. `standard`: runs x inputs. Errors: cancelled.
io::Result<Runs> stand_runs(const Inputs& inputs, const Eigen::MatrixXd& standard, int threads,
                            const io::Progress& progress = {});

/// Rows of design() as standard variables of the inputs' laws.
Eigen::MatrixXd standard_points(const std::vector<Law>& laws, int count, std::uint64_t seed);

/// The bands of a set of runs. `answer` is the one that they go with; `quick`, the same solved as the runs are, or
/// null. Once *cancel is set (may be null) what comes back is not whole.
findings::Doubts doubts_of(const Inputs& inputs, const Eigen::MatrixXd& standard, const Runs& runs,
                           const findings::Findings& answer, const findings::Findings* quick, std::uint64_t seed,
                           int threads, const std::atomic<bool>* cancel = nullptr);

/// All of it. The same options give the same bits for any number of threads. Pre: `answer` is converged. Errors
/// (bad_input): runs, threads or ranges that cannot be; cancelled.
io::Result<findings::Doubts> doubts(std::shared_ptr<const foot::Foot> foot, std::shared_ptr<const shoe::Shoe> shoe,
                                    const foot::ShapeModel& model, const findings::Findings& answer,
                                    const DoubtOptions& options, const io::Progress& progress = {});

/// "comes mostly from a (a guess) and b; measure c to narrow it": of the sources of a band, largest first.
std::string source_words(const std::vector<findings::DoubtSource>& sources, const Inputs::Narrowing& narrowing);

}  // namespace aplomb::bands
