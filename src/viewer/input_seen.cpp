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
  int down = 0;
  const auto count = [&](float held_s) {
    presses_ += held_s == 0 ? 1 : 0;
    down += held_s >= 0 ? 1 : 0;
  };
  std::for_each(std::begin(io.KeysDownDuration), std::end(io.KeysDownDuration), count);
  std::for_each(std::begin(io.MouseDownDuration), std::end(io.MouseDownDuration), count);
  wheel_ += static_cast<int>(std::lround(std::abs(io.MouseWheel)));
  io::Json now = {{"presses", presses_},
                  {"down", down},
                  {"mouse", {pixel(io.MousePos.x), pixel(io.MousePos.y)}},
                  {"wheel", wheel_}};
  frames_ = now == before_ ? std::min(frames_ + 1, 4) : 0;
  before_ = now;
  now["frames"] = frames_;
  return now;
}

}  // namespace aplomb::viewer
