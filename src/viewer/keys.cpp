// Shortcuts. Letters work only while no text is being typed.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "keys.h"

#include <algorithm>

#include "panels.h"

namespace aplomb::viewer {

namespace {

// Key numbers as GLFW has them, which is what its ImGui backend passes on.
constexpr int key_space = 32, key_equal = 61, key_minus = 45, key_left_bracket = 91, key_right_bracket = 93,
              key_escape = 256, key_enter = 257, key_right = 262, key_left = 263, key_down = 264, key_up = 265,
              key_page_up = 266, key_page_down = 267, key_f1 = 290, key_f6 = 295, key_pad_subtract = 333,
              key_pad_add = 334, key_pad_enter = 335;

bool pressed(int key) { return ImGui::IsKeyPressed(key, false); }
/// Again and again while it is held: for what goes on by small steps, never for what asks or writes.
bool held(int key) { return ImGui::IsKeyPressed(key, true); }

template <class Enum>
void next(Enum& value, int count) {
  value = static_cast<Enum>((static_cast<int>(value) + 1) % count);
}

/// Arrow keys as a direction, x to the right and y down.
ImVec2 arrows() {
  return {static_cast<float>(held(key_right) - held(key_left)), static_cast<float>(held(key_down) - held(key_up))};
}

/// Alone they turn the view, with Shift they move it; with Ctrl what is picked or else the far end of the length on the
/// slice, with both its near end.
void take_arrows(Screen& screen) {
  constexpr double step_px = 25, pick_step_px = 6, rule_step_mm = 1;
  const ImVec2 by = arrows();
  if (by.x == 0 && by.y == 0) return;
  const ImGuiIO& io = ImGui::GetIO();
  if (io.KeyCtrl && io.KeyShift)
    screen.asked.rule_near_x = rule_step_mm * by.x, screen.asked.rule_near_y = -rule_step_mm * by.y;
  else if (io.KeyCtrl && !screen.picked)
    screen.asked.rule_far_x = rule_step_mm * by.x, screen.asked.rule_far_y = -rule_step_mm * by.y;
  else if (io.KeyCtrl)
    screen.asked.pick_by_x = pick_step_px * by.x, screen.asked.pick_by_y = pick_step_px * by.y;
  else if (io.KeyShift)
    screen.asked.pan_by_x = step_px * by.x, screen.asked.pan_by_y = step_px * by.y;
  else
    turn(screen.document.look.orbit, step_px * by.x, step_px * by.y);
}

void take_control_keys(Screen& screen) {
  Asked& asked = screen.asked;
  double& letters = screen.document.look.font_scale;
  if (pressed('O')) asked.open = true;
  if (pressed('S')) (ImGui::GetIO().KeyShift ? asked.save_as : asked.save) = true;
  if (pressed('E')) asked.export_all = true;
  if (held('Z')) (ImGui::GetIO().KeyShift ? asked.redo : asked.undo) = true;
  if (held('Y')) asked.redo = true;
  if (pressed('Q')) asked.quit = true;
  const double before = letters;
  if (held(key_equal) || held(key_pad_add)) letters = std::min(2.0, letters + 0.125);
  if (held(key_minus) || held(key_pad_subtract)) letters = std::max(0.625, letters - 0.125);
  if (pressed('0')) letters = 1;
  if (letters != before) asked.restart_theme = true;
}

void take_escape(Screen& screen) {
  if (screen.files)
    screen.files.reset();
  else if (screen.leaving)
    screen.asked.stay = true;
  else if (screen.show_help)
    screen.show_help = false;
  else if (screen.scan)
    screen.asked.cancel_scan = true;
  else if (!screen.messages.empty())
    screen.messages.pop_back();
  else if (screen.picked)
    screen.picked.reset();
  else if (screen.document.look.client)
    screen.document.look.client = false;
  else if (screen.findings_in_sight && screen.doubts && screen.doubts->running)
    screen.document.look.doubts = false;
  else if (screen.shelf_in_sight && screen.shelf && !screen.shelf->answer && !screen.shelf->cancelled)
    screen.asked.cancel_shelf = true;
  else
    screen.asked.cancel = true;
}

void step_position(Screen& screen, int by) {
  Subject& subject = screen.document.subject;
  const int count = static_cast<int>(stance::position_names().size());
  subject.position = static_cast<stance::Position>(std::clamp(static_cast<int>(subject.position) + by, 0, count - 1));
  screen.document.look.step.reset();
}

void take_view_keys(Screen& screen) {
  Look& look = screen.document.look;
  constexpr StandardView views[] = {StandardView::front, StandardView::inner_side, StandardView::outer_side,
                                    StandardView::under, StandardView::above};
  for (int i = 0; i < 5; ++i)
    if (pressed('1' + i)) look_from(look.orbit, views[i]), screen.asked.frame_all = true;
  if (pressed('F')) screen.asked.frame_all = true;
  if (pressed('B')) look.bones = !look.bones;
  if (pressed('A')) look.advice = !look.advice;
  if (pressed('U')) look.doubts = !look.doubts;
  if (pressed('K') && screen.shelf) screen.show_shelf ^= true;
  if (pressed('M')) look.marks = !look.marks;
  if (pressed('C')) look.client = !look.client;
  if (pressed('I')) look.inches = !look.inches;
  if (pressed('X')) next(look.box, 3);
  if (pressed('P')) next(look.skin, 4);
  if (pressed('S')) next(look.slice, 3);
  if (pressed('R') && look.slice != SliceAxis::none) screen.asked.rule = true;
  if (held(key_left_bracket)) look.slice_mm -= 1;
  if (held(key_right_bracket)) look.slice_mm += 1;
  if (pressed('D')) {
    Subject& subject = screen.document.subject;
    subject.side_by_side = !subject.side_by_side;
    screen.active_seat = subject.side_by_side ? 1 : 0;
  }
  if (!ImGui::GetIO().NavVisible) {
    if (pressed(key_space)) toggle_playing(screen);
    if (pressed(key_enter) || pressed(key_pad_enter)) screen.asked.pick_middle = true;
  }
  const double near = held(key_equal) || held(key_pad_add)        ? 1.2
                      : held(key_minus) || held(key_pad_subtract) ? 1 / 1.2
                                                                  : 1;
  if (near != 1) look.orbit.mm_per_px = std::clamp(look.orbit.mm_per_px / near, 0.01, 5.0);
}

}  // namespace

void take_keys(Screen& screen) {
  const ImGuiIO& io = ImGui::GetIO();
  // A field has its own undo, and its own Esc; only a panel of files is closed from within its field.
  if (io.WantTextInput && !(screen.files && pressed(key_escape))) return;
  if (pressed(key_escape)) return take_escape(screen);
  if (pressed(key_f1)) screen.show_help = !screen.show_help;
  if (pressed(key_f6) && !screen.files && !screen.show_help) screen.asked.next_panel = true;
  if (!screen.files && !screen.show_help && !io.NavVisible) take_arrows(screen);
  if (io.KeyCtrl) return take_control_keys(screen);
  if (screen.files) return;
  if (pressed('H')) screen.show_help = !screen.show_help;
  if (pressed(key_page_up)) step_position(screen, -1);
  if (pressed(key_page_down)) step_position(screen, 1);
  take_view_keys(screen);
}

}  // namespace aplomb::viewer
