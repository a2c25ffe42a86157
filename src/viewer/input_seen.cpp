// Read off ImGui's own account of the frame.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "input_seen.h"

#include <imgui.h>

#include <algorithm>
#include <cmath>
#include <iterator>

namespace aplomb::viewer {

namespace {

/// A pointer that is nowhere is at -1.
int pixel(float place) { return place > -1e6f && place < 1e6f ? static_cast<int>(std::lround(place)) : -1; }

}  // namespace

io::Json InputSeen::look() {
  const ImGuiIO& io = ImGui::GetIO();
  const InputSeen before = *this;
  down_ = 0;
  const auto count = [&](float held_s) {
    presses_ += held_s == 0 ? 1 : 0;
    down_ += held_s >= 0 ? 1 : 0;
  };
  std::for_each(std::begin(io.KeysDownDuration), std::end(io.KeysDownDuration), count);
  std::for_each(std::begin(io.MouseDownDuration), std::end(io.MouseDownDuration), count);
  x_ = pixel(io.MousePos.x), y_ = pixel(io.MousePos.y);
  wheel_ += static_cast<int>(std::lround(std::abs(io.MouseWheel)));
  const bool same = presses_ == before.presses_ && down_ == before.down_ && x_ == before.x_ && y_ == before.y_ &&
                    wheel_ == before.wheel_;
  frames_ = same ? std::min(frames_ + 1, 4) : 0;
  return {{"presses", presses_}, {"down", down_}, {"mouse", {x_, y_}}, {"wheel", wheel_}, {"frames", frames_}};
}

}  // namespace aplomb::viewer
