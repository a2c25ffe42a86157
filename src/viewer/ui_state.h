// What is on the screen, written down for tests: every widget with its place and value, and what the program says.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/io/json.h"

namespace aplomb::viewer {

struct ScreenItem {
  std::string id;                       ///< e.g. "shoe.ball_breadth_mm"
  std::string kind;                     ///< "button", "slider", "text", ...
  double x = 0, y = 0, w = 0, h = 0;    ///< window pixels from the top left corner
  std::string text{};                   ///< as shown
  std::optional<double> value{};        ///< in `unit`
  std::optional<double> low{}, high{};  ///< ends of a band, in `unit`
  std::string unit{};
  bool enabled = true, selected = false;
  bool visible = true;   ///< false: scrolled out of sight
  bool focused = false;  ///< has the keyboard
};

/// One frame's record.
struct ScreenRecord {
  std::vector<ScreenItem> items;
  io::Json state = io::Json::object();  ///< what the program says of itself: solver, view, pick, messages

  void clear() { items.clear(), state = io::Json::object(); }
};

/// Rewrites a file when what it would say has changed. Plain write and rename, no flush to disk: it is for readers on
/// this machine, and a frame waits for it.
class UiStateFile {
 public:
  explicit UiStateFile(std::filesystem::path file) : file_(std::move(file)) {}
  /// False when it cannot be written.
  bool write(const ScreenRecord& record);

 private:
  std::filesystem::path file_;
  std::string last_;
};

}  // namespace aplomb::viewer
