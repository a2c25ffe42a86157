// Keys, and what they do; keys.cpp takes them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "words.h"

namespace aplomb::viewer {

const std::vector<Shortcut>& shortcuts() {
  static const std::vector<Shortcut> list{
      {"drag", "turn the view"},
      {"right drag, Shift drag", "move the view"},
      {"wheel, + and -", "nearer, farther"},
      {"click", "what is there: region, pressure, gap, bone"},
      {"1 2 3 4 5", "front, inner side, outer side, under the platform, above"},
      {"arrows, Shift and arrows", "turn the view, move it (when no widget has the keyboard)"},
      {"Enter, Ctrl and arrows",
       "what is in the middle of the view; what is beside it (when no widget has the keyboard)"},
      {"F", "frame all"},
      {"Page Up, Page Down", "position before, position after"},
      {"Space", "play the positions, stop"},
      {"B", "bones"},
      {"X", "box: see-through, cut away, hidden"},
      {"P", "skin: pressure, gap, crowding, difference"},
      {"S", "slice: none, across, along; [ and ] move it"},
      {"R", "a length on the slice; Ctrl and arrows move its far end, with Shift the near one"},
      {"M", "marks"},
      {"D", "side by side"},
      {"A", "what helps: changes made, solved and offered"},
      {"U", "how sure: 5 to 95 % of every number"},
      {"K", "the shelf, when a stock is open"},
      {"C", "page for the client"},
      {"I", "millimetres, inches"},
      {"Ctrl+O", "open"},
      {"Ctrl+S, Ctrl+Shift+S", "save the session, under another name"},
      {"Ctrl+E", "export picture and page"},
      {"Ctrl+Z, Ctrl+Y", "undo, redo"},
      {"Ctrl and + - 0", "letters larger, smaller, as they were"},
      {"F6", "keyboard to the next panel: top, look, numbers, findings, positions, slice"},
      {"arrows, Space", "there: from widget to widget, use it; on a slider Space, arrows, Space"},
      {"Enter, Tab", "type a slider's number; the next one's"},
      {"Esc", "close what is open; cancel how sure, the shelf, solving"},
      {"H, F1", "this help"},
      {"Ctrl+Q", "leave"},
  };
  return list;
}

}  // namespace aplomb::viewer
