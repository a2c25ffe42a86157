// Playing: step by step along a way, then on to the next position, and never ahead of what is solved.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"
#include "panels.h"

namespace aplomb::viewer {

void toggle_playing(Screen& screen) {
  screen.playing = !screen.playing;
  const Solved* solved = screen.shown(0);
  auto& step = screen.document.look.step;
  if (screen.playing && solved != nullptr && solved->shown() && solved->at(step) + 1 == solved->frames.size()) step = 0;
}

void App::play() {
  if (!screen_.playing) return;
  constexpr double position_s = 1.4, height_s = 0.35;
  screen_.play_clock_s += ImGui::GetIO().DeltaTime;
  const SeatView& view = screen_.seats[0];
  if (!view.solved || !view.current) {
    screen_.play_clock_s = 0;
    return;
  }
  auto& step = screen_.document.look.step;
  const std::size_t at = view.solved->shown() ? view.solved->at(step) : 0;
  const bool on_the_way = at + 1 < view.solved->frames.size();
  if (screen_.play_clock_s < (on_the_way ? height_s : position_s)) return;
  screen_.play_clock_s = 0;
  if (on_the_way) {
    step = static_cast<int>(at) + 1;
    return;
  }
  Subject& subject = screen_.document.subject;
  const int count = static_cast<int>(stance::position_names().size());
  subject.position = static_cast<stance::Position>((static_cast<int>(subject.position) + 1) % count);
  step = 0;  // from where a way begins
}

}  // namespace aplomb::viewer
