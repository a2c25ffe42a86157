// A seat in short: the frame that it shows, whose foot stands on it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "seat_view.h"

namespace aplomb::viewer {

std::shared_ptr<const Frame> frame_of(const std::shared_ptr<const Solved>& solved, std::optional<int> step) {
  if (!solved || !solved->shown()) return nullptr;
  return {solved, &solved->frames[solved->at(step)]};
}

std::shared_ptr<const Frame> SeatView::frame(std::optional<int> step) const { return frame_of(solved, step); }

std::string side_words(const SeatView& seat) {
  if (!seat.solved || !seat.solved->foot) return {};
  return seat.solved->foot->side == foot::Side::left ? "left foot" : "right foot";
}

}  // namespace aplomb::viewer
