// One seat as it is shown: its answer, what that is compared with, what is said of it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "advice.h"
#include "solve_job.h"

namespace aplomb::viewer {

/// What is known of one position of a seat.
enum class Known { not_yet, solving, solved, not_converged, refused };

/// One of its frames, which lives as long as the answer; null where there is none to show.
std::shared_ptr<const Frame> frame_of(const std::shared_ptr<const Solved>& solved, std::optional<int> step);

/// One seat as it is shown.
struct SeatView {
  std::shared_ptr<const Solved> solved;     ///< newest answer for its position; may be of older numbers
  std::shared_ptr<const Solved> reference;  ///< what the difference map takes away: the other seat, or before; or null
  bool comes = false;                       ///< a reference that is not there is wanted
  bool compared() const { return reference && reference->shown(); }
  bool current = false;  ///< `solved` answers the numbers as they stand
  /// Findings of `solved`; with their 5 to 95 % bands where these are asked for, at hand, and of this very answer.
  std::shared_ptr<const findings::Findings> told;
  std::optional<io::Error> no_doubts;  ///< why there are no such bands
  std::array<Known, 7> known{};        ///< by position
  std::vector<Verdict> verdicts;       ///< of the rules, from what is solved so far
  int judged = 0, to_judge = 0;        ///< positions that are solved, of those that rules speak of
  /// Nothing when not converged. The answer lives as long as it.
  std::shared_ptr<const Frame> frame(std::optional<int> step) const;
};

/// "left foot", "right foot"; "" until the foot is known.
std::string side_words(const SeatView& seat);

}  // namespace aplomb::viewer
