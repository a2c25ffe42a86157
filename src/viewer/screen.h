// The plain state that panels show and change.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "asked.h"
#include "document.h"
#include "file_panel.h"
#include "picked.h"
#include "seat_view.h"
#include "shoe_file.h"
#include "solver_thread.h"
#include "visits.h"

namespace aplomb::viewer {

/// What a scan does not tell by itself.
struct ScanQuestion {
  ScanWish wish;
  bool of_side = true;  ///< else of the unit
};

struct Message {
  std::string text;
  bool problem = false;
  std::optional<Unlikely> accept{};        ///< whether it is meant is asked
  std::optional<ScanQuestion> question{};  ///< one about a scan
};

/// A scan that is being fitted.
struct ScanShown {
  std::string name;
  double fraction = 0;
  std::string what;
};

/// A shelf that is compared, or was, or is to be.
struct ShelfShown {
  std::string name;                           ///< of the stock's file
  ShelfSoFar so_far;                          ///< while there is no answer
  std::shared_ptr<const ShelfAnswer> answer;  ///< null until it is whole
  bool cancelled = false;
  bool kept = false;                ///< as a session kept it: cancelled, and not compared since
  std::filesystem::path file;       ///< whole path, to be compared again
  std::vector<std::string> before;  ///< labels that came first when it was last compared
  int put_on = -1;                  ///< item whose pair stands on the seats, in this frame
  bool other_feet = false;          ///< the answer is not of the feet on the seats, in this frame
};

/// The 5 to 95 % bands that are asked for and not all there.
struct DoubtsShown {
  bool running = false;  ///< else it waits
  double fraction = 0;
  std::string what;
};

/// A length on the slice.
struct Measured {
  std::array<geometry::Vec2, 2> ends;  ///< mm in its plane
  std::shared_ptr<const Frame> frame;  ///< that was cut
  SliceAxis axis = SliceAxis::none;    ///< where
  double mm = 0, tilt_deg = 0;
  bool mirrored = false;  ///< drawn as seen from behind
};

struct Screen {
  Document document;
  std::array<ShoeFile, 2> shoe_files;
  stance::Constants constants;                        ///< before any change
  std::map<std::string, std::string> constant_notes;  ///< "[G] 0.3-0.8" by key, from the constants file
  std::array<SeatView, 2> seats;
  bool rules = false;                                      ///< there are rules
  std::shared_ptr<const Solved> advice;                    ///< for the first seat as it stands; null until it is solved
  std::optional<ScanShown> scan;                           ///< being fitted
  std::optional<DoubtsShown> doubts;                       ///< bands are on their way
  std::optional<ShelfShown> shelf;                         ///< a stock is open
  bool show_shelf = false;                                 ///< in the place of the findings
  std::shared_ptr<const shop::Visit> visit;                ///< that the feet are of; null: none
  bool shelf_in_sight = false, findings_in_sight = false;  ///< as the last frame found it
  Work work;
  bool cancelled = false;         ///< what is not solved stays so until something else is asked for
  std::vector<Message> messages;  ///< newest last; a few
  std::optional<Picked> picked;
  bool dragging = false;  ///< a number is being dragged
  bool playing = false;
  double play_clock_s = 0;
  int tab = 0;          ///< 0 shoe, 1 foot, 2 constants
  int active_seat = 0;  ///< whose numbers are shown
  bool show_numbers = true, show_findings = true, show_help = false;
  /// What a window with too little room for all of it shows beside the view.
  enum class Sheet { view, numbers, findings, look } sheet = Sheet::view;
  bool crowded = false;    ///< it is such a window; as the last frame found it
  bool show_more = false;  ///< all buttons on top of a narrow window
  bool can_undo = false, can_redo = false;
  bool recovery = false;           ///< a session that was not closed is there
  std::optional<Leaving> leaving;  ///< asked about
  std::string session_file;        ///< whole path; empty: not saved yet
  bool unsaved = false;
  std::optional<FilePanel> files;  ///< open while it is there
  std::vector<std::filesystem::path> recent;
  std::vector<std::filesystem::path> samples;  ///< that come with the program
  bool letter_paper = false;                   ///< of every page; else A4; of this machine, not of a session
  bool view_moving = false;
  bool framed_by_itself = false;  ///< the camera was not given: everything was put in the picture
  std::optional<Measured> measured;
  Asked asked;

  Choice& choice() { return document.subject.seat[static_cast<std::size_t>(active_seat)]; }
  /// Whose numbers are shown; the one on the page for the client.
  int chosen_seat() const { return document.subject.side_by_side ? active_seat : 0; }
  const Solved* shown(int seat) const { return seats[static_cast<std::size_t>(seat)].solved.get(); }
};

}  // namespace aplomb::viewer
