// What a panel asked for in this frame; the program does it after the frame.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>

#include "aplomb/shop/advise.h"
#include "scan_job.h"
#include "shelf_job.h"

namespace aplomb::viewer {

/// What would drop work that is not saved: asked about before it is done.
struct Leaving {
  enum class Way { quit, session, recovery } way = Way::quit;
  std::filesystem::path session{};  ///< to be opened
  bool saving = false;              ///< a name to save under is being chosen; it is done once it is saved
};

/// A card number that few feet have: asked whether it is meant.
struct Unlikely {
  std::string key;
  int seat = 0;

  bool operator==(const Unlikely&) const = default;
};

/// What a panel asked for in this frame; the program does it after the frame.
struct Asked {
  bool open = false, save = false, save_as = false, export_all = false, undo = false, redo = false;
  bool cancel = false, quit = false, frame_all = false, restart_theme = false;
  bool next_panel = false;                                                  ///< the keyboard goes to the next panel
  bool pick_middle = false;                                                 ///< what is in the middle of the view
  double pick_by_x = 0, pick_by_y = 0;                                      ///< pixels that the picked place moves by
  double pan_by_x = 0, pan_by_y = 0;                                        ///< pixels that the view moves by
  bool rule = false;                                                        ///< a length in the middle of the slice
  double rule_far_x = 0, rule_far_y = 0, rule_near_x = 0, rule_near_y = 0;  ///< mm that its ends move by, right and up
  std::optional<std::filesystem::path> open_file{}, save_to{};
  bool recover = false, forget_recovery = false;
  bool save_and_leave = false, leave_unsaved = false, stay = false;
  std::optional<Unlikely> accept{};    ///< its value is meant
  std::optional<shop::Try> attempt{};  ///< a change to be seen beside the shoe as it is
  bool keep_try = false, leave_try = false;
  std::optional<ScanWish> scan{};  ///< to be fitted, with an answer to what was asked
  bool cancel_scan = false;
  bool cancel_shelf = false, resume_shelf = false;
  std::optional<int> put_on{};      ///< item of the shelf
  std::optional<ShelfPage> page{};  ///< to be written
};

}  // namespace aplomb::viewer
